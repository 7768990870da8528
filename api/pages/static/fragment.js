// A piece of a page from the server, set in its place; what came too late is left aside.

const turns = new WeakMap();

export async function pieceOf(path, form, place) {
  turns.get(place)?.abort();
  const turn = new AbortController();
  turns.set(place, turn);
  place.setAttribute("aria-busy", "true");
  try {
    const said = form ? { method: "POST", body: new URLSearchParams(new FormData(form)) } : {};
    const answer = await fetch(path, { ...said, signal: turn.signal, headers: { accept: "text/html" } });
    if (!answer.ok) throw new Error(String(answer.status));
    place.innerHTML = await answer.text();
    return true;
  } catch (error) {
    if (error.name !== "AbortError") place.textContent = "No answer from the service; what was typed stays here.";
    return false;
  } finally {
    if (turns.get(place) === turn) place.removeAttribute("aria-busy");
  }
}

// Slow pieces come one at a time, so that the price always finds somebody free; what changed meanwhile is asked for once.
export function oneByOne(task) {
  let [busy, again] = [false, false];
  return async function run() {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    await task();
    busy = false;
    if (again) {
      again = false;
      run();
    }
  };
}

export function later(milliseconds, task) {
  let timer = 0;
  return (...args) => {
    clearTimeout(timer);
    timer = setTimeout(() => task(...args), milliseconds);
  };
}
