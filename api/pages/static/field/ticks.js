// Ticks and timers of the order of work, kept on this device.
import { keep, kept } from "./kept.js";

export function startTicks(quote) {
  for (const box of document.querySelectorAll("[data-tick]")) {
    const name = `tick.${quote}.${box.dataset.tick}`;
    box.checked = kept(name, false);
    box.addEventListener("change", () => keep(name, box.checked));
  }
}

const nameOf = (quote, place) => `timer.${quote}.${place.dataset.timer}`;

function elapsed(state) {
  return state.ms + (state.since ? Date.now() - state.since : 0);
}

export function startTimers(quote) {
  const places = [...document.querySelectorAll("[data-timer]")];
  for (const place of places) {
    const [act, said] = [document.createElement("button"), document.createElement("span")];
    act.type = "button";
    act.className = "quiet";
    act.addEventListener("click", () => {
      const state = kept(nameOf(quote, place), { ms: 0, since: null });
      keep(nameOf(quote, place), state.since ? { ms: elapsed(state), since: null } : { ms: state.ms, since: Date.now() });
      show(place);
    });
    place.append(act, said);
    place.hidden = false;
    show(place);
  }
  setInterval(() => places.forEach(show), 15000);

  function show(place) {
    const state = kept(nameOf(quote, place), { ms: 0, since: null });
    const [act, said] = place.children;
    act.textContent = state.since ? "Stop" : "Start";
    act.setAttribute("aria-label", `${act.textContent} the timer of ${place.dataset.what}`);
    const ran = state.ms || state.since;
    said.textContent = ran ? `${Math.round(elapsed(state) / 60000)} min${state.since ? ", running" : ""}` : "";
  }
}

// Returns the minutes of a bore's timers by kind, and in all; those of no bore count to the first one.
export function minutesOf(quote, bore, first) {
  const found = { all: 0 };
  for (const place of document.querySelectorAll("[data-timer]")) {
    const own = place.dataset.bore || first;
    const minutes = elapsed(kept(nameOf(quote, place), { ms: 0, since: null })) / 60000;
    if (own !== bore || !minutes) continue;
    found.all += minutes;
    found[place.dataset.kind] = (found[place.dataset.kind] ?? 0) + minutes;
  }
  return found;
}
