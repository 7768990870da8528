// Begins what a page of the field does by itself: kept offline, entries sent, today marked, forms, sign-out.
import { drop, dropAll, keep, kept } from "./kept.js";
import { enqueue, send } from "./queue.js";
import { startRecord } from "./record.js";
import { startSign } from "./sign.js";
import { startTicks, startTimers } from "./ticks.js";
import { showWaiting } from "./waiting.js";
import { startWear } from "./wear.js";

const EVERY = 15000; // ms
const who = document.body.dataset.who;
const net = document.getElementById("net");
let [reached, running, again] = [null, false, false];

// ---------------------------------------------------------------- network and entries

function show() {
  const waiting = showWaiting(who, work).length;
  const entries = waiting ? `${waiting} not gone up` : "all gone up";
  const made = document.body.dataset.made.slice(11, 16);
  const said = reached === false ? `No network; as of ${made}; ${entries}` : reached ? `Online; ${entries}` : "";
  if (net.textContent !== said) net.textContent = said + (self.caches ? "" : " (not kept offline: open it by https)");
}

async function reach() {
  try {
    const reply = await fetch("/health", { cache: "no-store", signal: AbortSignal.timeout(5000) });
    return reply.ok;
  } catch {
    return false;
  }
}

// Sends what waits, one time after the other; who asks meanwhile has it done once more.
async function work() {
  again = true;
  show();
  if (running) return;
  running = true;
  while (again) {
    again = false;
    const answered = await send(who);
    reached = answered ?? (await reach());
    show();
  }
  running = false;
}

// ---------------------------------------------------------------- kept offline

async function keepOffline() {
  if (!("serviceWorker" in navigator)) return;
  await navigator.serviceWorker.register("/field/worker.js", { scope: "/field", updateViaCache: "none" });
  const ready = await navigator.serviceWorker.ready;
  const jobs = [...document.querySelectorAll("a.job")].map((one) => one.pathname);
  const all = location.pathname === "/field";
  ready.active.postMessage({ keep: [location.pathname, "/field", ...jobs], only: all });
  navigator.storage?.persist?.();
}

// ---------------------------------------------------------------- what the page is of

function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
}

function markToday() {
  for (const one of document.querySelectorAll("a.job")) {
    if (!one.dataset.dates.split(" ").includes(today())) continue;
    one.classList.add("today");
    one.setAttribute("aria-current", "date");
  }
  const days = [...document.querySelectorAll("[data-day]")];
  if (days.some((one) => one.dataset.day === today())) for (const one of days) one.open = one.dataset.day === today();
}

function random(bytes) {
  return [...crypto.getRandomValues(new Uint8Array(bytes))].map((one) => one.toString(16).padStart(2, "0")).join("");
}

// What this device calls itself, so that what it recorded before is no clash with what it records later.
function device() {
  const name = kept("device", "") || random(6);
  keep("device", name);
  return name;
}

function startJob(place) {
  const { quote, job, length, mass, pressure, warmth } = place.dataset;
  const said = { quote, length, mass, pressure, warmth, takes: new Set(place.dataset.takes.split(" ")), orders: place.dataset.orders };
  const put = (what, body) => {
    const [id, made] = [`${device()}-${random(16)}`, new Date().toISOString()];
    const seen = Number(place.dataset.seen);
    const taken = enqueue({ id, made, what, quote, job, by: who, body: { quote, entry: id, seen, ...body } });
    work();
    return taken;
  };
  startTicks(quote);
  startTimers(quote);
  for (const form of place.querySelectorAll("form.record")) startRecord(form, said, put);
  startSign(place.querySelector("form.sign"), put);
  startWear(place.querySelector("form.wear"), said, put);
}

// ---------------------------------------------------------------- sign-out

function startSignOut(form) {
  if (!form) return;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const waiting = showWaiting(who, work).filter((entry) => entry.by === who);
    for (const name of (await self.caches?.keys()) ?? []) if (name.startsWith("boreworth.field")) await caches.delete(name);
    if (!waiting.length) dropAll();
    keep("leave", form.elements.csrf.value); // without network the service hears of it later
    if (await reach()) {
      drop("leave");
      form.submit();
    } else {
      document.querySelector("main").replaceChildren(
        Object.assign(document.createElement("p"), {
          textContent: "Signed out on this device; the service hears of it with the next network."
            + (waiting.length ? ` ${waiting.length} entries stay here and go up when ${who} signs in again.` : ""),
        }),
      );
    }
  });
  if (kept("leave", "") === form.elements.csrf.value) form.requestSubmit();
  else drop("leave");
}

markToday();
const place = document.getElementById("job");
if (place) startJob(place);
startSignOut(document.getElementById("sign-out"));
addEventListener("online", work);
addEventListener("offline", () => {
  reached = false;
  show();
});
setInterval(() => running || work(), EVERY);
await work();
await keepOffline();
document.body.dataset.ready = "yes";
