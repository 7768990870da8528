// The form of a bore's record: a draft that is kept while typing, verdicts of sizes, and the record it makes.
import { drop, keep, kept } from "./kept.js";
import { MILLIMETRES, number, plain, verdict } from "./numbers.js";
import { minutesOf } from "./ticks.js";

const TIMES = { setup: "min", arc_time: "min", machining: "min", on_site: "h" };
const WORDS = { cleanup_diameter: "clean at diameter", tips: "tips", gas_before: "cylinder before", gas_after: "cylinder after" };

export function startRecord(form, job, put) {
  const draft = `draft.${job.quote}.${form.dataset.bore}`;
  const inputs = [...form.elements].filter((one) => one.name);
  const before = kept(draft, {});
  for (const one of inputs) one.value = before[one.name] ?? one.value;
  form.addEventListener("input", () => {
    keep(draft, Object.fromEntries(inputs.filter((one) => one.value).map((one) => [one.name, one.value])));
    show();
  });
  form.querySelector('[data-act="times"]').addEventListener("click", () => {
    const first = document.querySelector("form.record").dataset.bore;
    const found = minutesOf(job.quote, form.dataset.bore, first);
    for (const kind of ["setup", "machining"]) if (found[kind]) form.elements[kind].value = plain(found[kind], 0);
    if (found.all) form.elements.on_site.value = plain(found.all / 60, 2);
    form.dispatchEvent(new Event("input"));
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const wrong = form.querySelector(".wrong");
    const made = recordOf(form, job);
    wrong.textContent = made.wrong;
    if (made.wrong) return;
    if (!put(`Bore ${form.dataset.bore}`, made.body)) {
      wrong.textContent = "This device is full; it could not be kept. Write it down.";
      return;
    }
    drop(draft);
    form.reset();
    show();
    form.closest("details").open = false;
  });
  show();

  function show() {
    for (const one of inputs.filter((input) => input.dataset.depth)) {
      const said = verdictOf(one, form, job.length);
      const room = one.parentElement.querySelector(".verdict");
      room.textContent = said;
      room.dataset.is = said;
    }
    const used = difference(form, "spool_before", "spool_after");
    form.querySelector('[data-of="wire"]').textContent = used > 0 ? `Wire used: ${plain(used, 3)} ${job.mass}` : "";
  }
}

function verdictOf(input, form, unit) {
  const read = number(input.value);
  if (read === null) return "";
  if (Number.isNaN(read)) return "no number";
  const { low, high, doubt } = form.dataset;
  return verdict(read * MILLIMETRES[unit], Number(low), Number(high), Number(doubt));
}

function difference(form, from, to) {
  const [one, other] = [number(form.elements[from].value), number(form.elements[to].value)];
  return one === null || other === null ? null : one - other;
}

// Returns what is wrong with a form in words, or the record it makes.
export function recordOf(form, job) {
  const read = {};
  for (const one of form.elements) {
    if (!one.name || one.name === "note") continue;
    read[one.name] = number(one.value);
    if (Number.isNaN(read[one.name])) return { wrong: `"${one.value}" is no number.` };
  }
  if ((read.spool_after ?? 0) > (read.spool_before ?? Infinity)) return { wrong: "The spool is heavier after than before." };
  const bore = { name: form.dataset.bore };
  for (const [key, unit] of Object.entries(TIMES)) if (read[key] !== null) bore[key] = `${plain(read[key])} ${unit}`;
  const used = difference(form, "spool_before", "spool_after");
  if (used > 0) bore.wire = `${plain(used, 4)} ${job.mass}`;
  for (const key of ["preheat_read", "interpass_read"]) if (read[key] !== null) bore[key] = `${plain(read[key])} ${job.warmth}`;
  const stations = [...form.querySelectorAll("[data-depth]")].filter((one) => read[one.name] !== null).map((one) => ({
    depth: `${one.dataset.depth} ${job.length}`, diameter: `${plain(read[one.name])} ${job.length}`, clock: Number(one.dataset.clock),
  }));
  const doubt = Number(form.dataset.doubt);
  if (stations.length) bore.finished = { stations, ...(doubt ? { uncertainty: `${plain(doubt / 2, 7)} mm` } : {}) };
  const body = { bores: [bore], ...rest(read, bore, job, form.elements.note.value.trim()) };
  if (Object.keys(bore).length === 1 && !body.note) return { wrong: "Nothing is filled in yet." };
  return { wrong: "", body };
}

// What the service's record has a key for goes there; the rest stands in its note.
function rest(read, bore, job, note) {
  const said = note ? [note] : [];
  const units = { cleanup_diameter: job.length, tips: "", gas_before: job.pressure, gas_after: job.pressure };
  for (const [key, unit] of Object.entries(units)) {
    if (read[key] === null) continue;
    if (job.takes.has(key)) bore[key] = unit ? `${plain(read[key])} ${unit}` : read[key];
    else said.push(`${WORDS[key]} ${plain(read[key])} ${unit}`.trim());
  }
  const left = {};
  if (read.spool_after !== null) left.wire = `${plain(read.spool_after)} ${job.mass}`;
  if (read.gas_after !== null) left.pressure = `${plain(read.gas_after)} ${job.pressure}`;
  const whole = Object.keys(left).length && job.takes.has("left") ? { left } : {};
  return said.length ? { ...whole, note: said.join("; ") } : whole;
}
