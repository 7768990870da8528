// Entries wait on the device and go up once, each under a key of its own; what clashes is shown, never written over.
import { drop, keep, kept, names } from "./kept.js";

const WAIT = 20000; // ms
const AGAIN = new Set([401, 403, 408, 429]);

export function entries() {
  return names("entry.").map((name) => ({ name, ...kept(name, {}) }));
}

// Returns whether the device took it.
export function enqueue(entry) {
  return keep(`entry.${entry.made}.${entry.id}`, { state: "waiting", said: [], records: [], ...entry });
}

export function change(entry, changes) {
  const { name, ...rest } = { ...entry, ...changes };
  keep(name, rest);
}

export function remove(entry) {
  drop(entry.name);
}

// Sends what waits, oldest first, by one page of this device at a time; returns whether the service answered.
export async function send(who) {
  if (!navigator.locks) return sendAll(who);
  return navigator.locks.request("boreworth.field.send", () => sendAll(who));
}

async function sendAll(who) {
  let answered = null;
  for (const entry of entries()) {
    if (entry.state !== "waiting" || entry.by !== who) continue;
    try {
      answered = (await sendOne(entry)) || answered;
    } catch {
      return false; // no network, or no answer in time: it stays as it is
    }
  }
  return answered;
}

async function sendOne(entry) {
  const reply = await fetch(`/api/jobs/${entry.job}/actuals`, {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "application/json", "Idempotency-Key": key(entry) },
    body: JSON.stringify(entry.body),
    signal: AbortSignal.timeout(WAIT),
  });
  if (AGAIN.has(reply.status) || reply.status >= 500) {
    change(entry, { said: [reply.status === 401 ? "Sign in again, then it goes up." : `The service failed (${reply.status}); it is tried again.`] });
    return false;
  }
  const found = await reply.json();
  if (reply.ok) {
    const asked = (found.asked_about ?? []).map((one) => `${one.bore}: ${one.question}`);
    if (asked.length) change(entry, { state: "asked", said: asked });
    else remove(entry);
    return true;
  }
  const records = (found.errors ?? []).map((one) => /^records\.(\d+)$/.exec(one.path)?.[1]).filter(Boolean).map(Number);
  const said = (found.errors ?? []).map((one) => (one.path && !records.length ? `${one.path}: ` : "") + one.message);
  change(entry, { state: reply.status === 409 && records.length ? "conflict" : "refused", said, records });
  return true;
}

// An entry that is sent again says the same under the same key; one that was settled otherwise is another request.
function key(entry) {
  return `${entry.id}.${entry.body.seen}.${entry.body.replaces ?? 0}`;
}
