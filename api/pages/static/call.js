// The page of a call: the price follows what is typed, rows of bores are added, faults stand at their fields.

import { later, oneByOne, pieceOf } from "./fragment.js";
import { forget, keeping, kept } from "./keep.js";

const form = document.getElementById("call");
const [live, range, ask, rows, note] = ["live", "range", "ask", "rows", "kept"].map((id) => document.getElementById(id));
const keep = keeping(form);
document.documentElement.classList.add("scripted");

// ---------------------------------------------------------------- faults at their fields

function showFaults() {
  const told = [...live.querySelectorAll(".big dd, .small dd")].map((one) => one.textContent);
  document.getElementById("bar").textContent = told.length > 2 ? `${told[0]}, ${told[2]} on site` : ""; // a telephone shows no more at once
  const said = new Map([...live.querySelectorAll("[data-field]")].map((one) => [one.dataset.field, one.textContent]));
  for (const one of form.querySelectorAll(".field[data-name]")) {
    const text = said.get(one.dataset.name) ?? "";
    const box = one.querySelector("input, select, textarea");
    const place = one.querySelector(".fault");
    if (!box || !place) continue;
    place.textContent = text;
    place.hidden = !text;
    one.classList.toggle("faulty", Boolean(text));
    if (text) box.setAttribute("aria-invalid", "true");
    else box.removeAttribute("aria-invalid");
    if (text) said.delete(one.dataset.name);
  }
  for (const one of live.querySelectorAll("[data-field]")) one.hidden = !said.has(one.dataset.field);
}

const price = later(120, async () => (await pieceOf("/call/price", form, live)) && showFaults());
const further = later(600, oneByOne(async () => {
  await pieceOf("/call/range", form, range);
  await pieceOf("/call/ask", form, ask);
}));

function changed() {
  keep();
  price();
  further();
}

form.addEventListener("input", changed);
form.addEventListener("change", changed);

// ---------------------------------------------------------------- rows of bores

function value(row, key) {
  return row?.querySelector(`[name$=".${key}"]`);
}

function names() {
  return [...rows.children].map((row) => value(row, "name").value || row.querySelector(".which").textContent);
}

function freeName() {
  const taken = new Set(names());
  for (let turn = 1; ; turn += 1) {
    for (const letter of "ABCDEFGHIJKLMNOPQRSTUVWXYZ") {
      const name = turn === 1 ? letter : `${letter}${turn}`;
      if (!taken.has(name)) return name;
    }
  }
}

function addRow() {
  const last = rows.lastElementChild;
  const number = Math.max(-1, ...[...rows.children].map((row) => Number(row.dataset.row))) + 1;
  const made = document.createElement("div");
  made.innerHTML = document.getElementById("blank").innerHTML.replaceAll("__N__", String(number));
  const row = made.firstElementChild;
  const name = freeName();
  for (const one of row.querySelectorAll(".which")) one.textContent = name;
  value(row, "name").placeholder = name;
  for (const key of ["nominal_diameter", "length", "tolerance", "material", "outside_diameter", "plate_thickness"]) {
    const from = value(last, key);
    if (from) value(row, key).value = from.value; // the next bore is mostly like the one before
  }
  value(row, "same").replaceChildren(new Option("own pin", ""), ...names().map((one) => new Option(one, one)));
  rows.append(row);
  return row;
}

document.getElementById("add").addEventListener("click", (event) => {
  event.preventDefault();
  value(addRow(), "worn_diameter").focus();
  changed();
});

// ---------------------------------------------------------------- customers and machines as one types

const customer = form.elements["customer.name"];
const machine = form.elements["equipment.description"];
customer.setAttribute("list", "customers");
machine.setAttribute("list", "machines");
const [found, theirs] = ["customers", "machines"].map((id) => document.getElementById(id));
customer.addEventListener("input", later(150, () => pieceOf(`/call/customers?q=${encodeURIComponent(customer.value)}`, null, found)));
customer.addEventListener("change", () => pieceOf(`/call/machines?customer=${encodeURIComponent(customer.value)}`, null, theirs));

// ---------------------------------------------------------------- what to ask next leads to its field

ask.addEventListener("click", (event) => {
  const link = event.target.closest("a");
  const box = link && document.getElementById(link.getAttribute("href").slice(1));
  if (!box) return;
  event.preventDefault();
  const folded = box.closest("details");
  if (folded) folded.open = true;
  box.focus();
  box.scrollIntoView({ block: "center" });
});

form.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
  event.preventDefault(); // Enter goes on to the next field, as on a calculator; buttons send
  const boxes = [...form.querySelectorAll("input:not([type=hidden]):not(:disabled), select, .buttons button")].filter((one) => one.checkVisibility());
  boxes[boxes.indexOf(event.target) + 1]?.focus();
});

// ---------------------------------------------------------------- what was typed and not sent

function fill(typed) {
  const wanted = new Set(typed.map(([name]) => name.match(/^bores\.(\d+)\./)?.[1]).filter(Boolean));
  while (rows.children.length < wanted.size) addRow();
  for (const [name, text] of typed) {
    const box = form.elements[name];
    if (box && box.type !== "hidden") box.value = text;
  }
}

const before = kept(form);
if (before) {
  const again = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: "Take it up again" });
  const away = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: "Leave it" });
  note.append("Something was typed here and not sent. ", again, " ", away);
  again.addEventListener("click", () => {
    fill(before.typed);
    note.textContent = "Taken up again from this browser.";
    changed();
  });
  away.addEventListener("click", () => {
    forget(form);
    note.textContent = "";
  });
}
if (live.children.length) {
  showFaults();
  further();
}
if (!customer.value) customer.focus();
