// The page of a bore: the grid as a calculator and a place to paste into, pictures while typing, reasons behind figures.

import { later, oneByOne, pieceOf } from "./fragment.js";
import { forget, keeping, kept } from "./keep.js";
import { reasons } from "./why.js";

const form = document.getElementById("bore");
const live = document.getElementById("live");
const cells = document.getElementById("cells");
const note = document.getElementById("kept");
const at = new URL(form.action).pathname;
const keep = keeping(form);
document.documentElement.classList.add("scripted");

// ---------------------------------------------------------------- what is wrong stands at its cell

function showFaults() {
  for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  for (const one of live.querySelectorAll("[data-field]")) {
    const box = form.elements[one.dataset.field];
    if (!box?.setAttribute) continue;
    box.setAttribute("aria-invalid", "true");
    one.textContent = `${box.getAttribute("aria-label") ?? ""} ${one.textContent}`.trim();
  }
}

const draw = later(250, oneByOne(async () => (await pieceOf(`${at}/beside`, form, live)) && redrawn()));

function redrawn() {
  const now = document.getElementById("drawn-now");
  if (now?.children.length) document.getElementById("pictures")?.replaceChildren(...now.children);
  now?.remove();
  showFaults();
}

function changed() {
  keep();
  draw();
}

form.addEventListener("input", changed);

// ---------------------------------------------------------------- the grid

const cell = (row, column) => form.elements[`cell.${row}.${column}`];
const size = () => [cells.rows.length, cells.rows[0].cells.length];

function box(row, column) {
  const made = document.createElement("input");
  Object.assign(made, { name: `cell.${row}.${column}`, autocomplete: "off", inputMode: "decimal" });
  if (!row || !column) made.className = "head";
  made.setAttribute("aria-label", !row ? `Clock ${column}` : !column ? `Depth ${row}` : `Depth ${row}, clock ${column}`);
  return made;
}

function grow(rows, columns) {
  const body = cells.tBodies[0];
  while (body.rows.length < rows) {
    const row = body.insertRow();
    for (let column = 0; column < size()[1]; column += 1) row.insertCell().append(box(body.rows.length - 1, column));
  }
  for (const row of body.rows) {
    while (row.cells.length < columns) row.insertCell().append(box(row.rowIndex, row.cells.length - 1));
  }
}

function placeOf(input) {
  return input?.name?.match(/^cell\.(\d+)\.(\d+)$/)?.slice(1).map(Number);
}

function onward(row, column, step) {
  const [rows, columns] = size();
  let place = row * columns + column + step;
  while (place > 0 && place < rows * columns && !cell(Math.floor(place / columns), place % columns)) place += step;
  return cell(Math.floor(place / columns), place % columns);
}

cells?.addEventListener("keydown", (event) => {
  const place = placeOf(event.target);
  if (!place) return;
  const [row, column] = place;
  const next = {
    Enter: () => onward(row, column, event.shiftKey ? -1 : 1) ?? form.querySelector(".buttons button"),
    ArrowDown: () => cell(row + 1, column),
    ArrowUp: () => cell(row - 1, column),
  }[event.key]?.();
  if (event.key === "Enter") event.preventDefault();
  if (!next) return;
  event.preventDefault();
  next.focus();
  next.select?.();
});

cells?.addEventListener("paste", (event) => {
  const text = event.clipboardData.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "");
  const place = placeOf(event.target);
  if (!place || !/[\t\n]/.test(text)) return;
  event.preventDefault();
  const block = text.split("\n").map((line) => line.split("\t"));
  grow(place[0] + block.length, place[1] + Math.max(...block.map((line) => line.length)));
  block.forEach((line, down) => line.forEach((said, right) => {
    const one = cell(place[0] + down, place[1] + right);
    if (one) one.value = said.trim();
  }));
  changed();
});

for (const [id, more] of [["more-rows", [1, 0]], ["more-columns", [0, 1]]]) {
  document.getElementById(id)?.addEventListener("click", (event) => {
    event.preventDefault();
    const [rows, columns] = size();
    grow(rows + more[0], columns + more[1]);
    (more[0] ? cell(rows, 0) : cell(0, columns)).focus();
  });
}

// ---------------------------------------------------------------- choices are weighed as they are opened

form.addEventListener("toggle", (event) => {
  const opened = event.target.closest?.("[data-choice]");
  const told = opened?.querySelector(".told");
  if (opened?.open && !told.querySelector("table")) pieceOf(`${at}/choice/${opened.dataset.choice}`, form, told);
}, true);

reasons(live);

// ---------------------------------------------------------------- what was typed and not sent

const before = kept(form);
if (before) {
  const [again, away] = ["Take it up again", "Leave it"].map((text) => Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: text }));
  note.append("Something was typed here and not sent. ", again, " ", away);
  again.addEventListener("click", () => {
    const places = before.typed.map(([name]) => placeOf({ name })).filter(Boolean);
    grow(Math.max(...places.map((one) => one[0])) + 1, Math.max(...places.map((one) => one[1])) + 1);
    for (const [name, text] of before.typed) if (form.elements[name] && form.elements[name].type !== "hidden") form.elements[name].value = text;
    note.textContent = "Taken up again from this browser.";
    changed();
  });
  away.addEventListener("click", () => {
    forget(form);
    note.textContent = "";
  });
}
showFaults();
