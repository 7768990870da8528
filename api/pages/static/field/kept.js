// Small things kept on this device under names of ours: ticks, timers, drafts, entries that have not gone up.
const OURS = "boreworth.field.";

export function kept(name, otherwise) {
  try {
    const text = localStorage.getItem(OURS + name);
    return text === null ? otherwise : JSON.parse(text);
  } catch {
    return otherwise;
  }
}

// Returns whether the device took it; a full one does not.
export function keep(name, value) {
  try {
    localStorage.setItem(OURS + name, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export function drop(name) {
  localStorage.removeItem(OURS + name);
}

export function names(beginning) {
  return Object.keys(localStorage)
    .filter((name) => name.startsWith(OURS + beginning))
    .map((name) => name.slice(OURS.length))
    .sort();
}

export function dropAll() {
  for (const name of names("")) drop(name);
}
