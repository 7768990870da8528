// Numbers as people type them: 92,9 and 92.9 and 3 1/2.
const PLAIN = /^\d{1,7}([.,]\d{1,6})?$/;
const PARTS = /^(?:(\d{1,4})[ -])?(\d{1,3})\/(\d{1,3})$/;

// Returns the number of a text, null of an empty one; NaN of what is none.
export function number(text) {
  const said = text.trim();
  if (said === "") return null;
  if (PLAIN.test(said)) return Number(said.replace(",", "."));
  const parts = PARTS.exec(said);
  return parts && Number(parts[3]) ? Number(parts[1] ?? 0) + Number(parts[2]) / Number(parts[3]) : NaN;
}

// Returns a number as a text without more digits than it has.
export function plain(value, places = 6) {
  return String(Number(value.toFixed(places)));
}

export const MILLIMETRES = { mm: 1, in: 25.4 };

// Whether a diameter lies within its limits, by what the gauge can tell (JCGM 106, guarded both ways); all in mm.
export function verdict(diameter, low, high, doubt) {
  if (low + doubt <= diameter && diameter <= high - doubt) return "conforms";
  return diameter < low - doubt || diameter > high + doubt ? "does not conform" : "not proven";
}
