// The list of entries that have not gone up: what waits, what clashes with whose record, what was refused.
import { change, entries, remove } from "./queue.js";

const STATES = { waiting: "waits for network", conflict: "somebody else recorded the same", refused: "was not taken", asked: "has gone up; look at it again" };

function button(label, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "quiet";
  made.textContent = label;
  made.addEventListener("click", act);
  return made;
}

function line(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}

export function showWaiting(who, again) {
  const room = document.getElementById("queue");
  const found = entries();
  room.hidden = found.length === 0;
  document.getElementById("entries").replaceChildren(...found.map((entry) => row(entry, who, again)));
  return found.filter((entry) => entry.state !== "asked");
}

function row(entry, who, again) {
  const made = document.createElement("li");
  made.dataset.state = entry.state;
  const name = document.createElement("strong");
  name.textContent = `${entry.what}, quote ${entry.quote}: ${STATES[entry.state]}`;
  made.append(name, ...entry.said.map(line));
  if (entry.by !== who) made.append(line(`Made by ${entry.by || "this machine"}; it goes up when they sign in here.`));
  if (entry.state === "conflict") {
    const newest = Math.max(...entry.records);
    made.append(
      button("Keep both", () => settle({ seen: newest })),
      button("Mine instead of theirs", () => settle({ seen: newest, replaces: newest })),
    );
  }
  if (entry.state !== "waiting" || entry.by !== who) made.append(button(entry.state === "asked" ? "Seen" : "Throw mine away", away));
  return made;

  function settle(more) {
    change(entry, { state: "waiting", said: [], records: [], body: { ...entry.body, ...more } });
    again();
  }

  function away() {
    remove(entry);
    again();
  }
}
