// Keeps the pages of the field for where there is no network: theirs and nothing else, always the newest that came.
const PAGES = "boreworth.field.pages";
const SHELL = "boreworth.field.shell";
const WAIT = 6000; // ms
const ASSETS = [
  "app.js", "field.css", "icon-192.png", "icon-512.png", "icon.svg", "kept.js", "numbers.js", "queue.js", "record.js",
  "sign.js", "ticks.js", "waiting.js", "wear.js",
].map((name) => `/field/static/${name}`).concat("/field/app.webmanifest");
const NONE = new Response(
  "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'><title>No network</title>"
    + "<h1>No network</h1><p>This page is not kept on this device. <a href=/field>Jobs that are</a></p></html>",
  { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } },
);

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELL).then((cache) => cache.addAll(ASSETS)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const isOurs = (url) => url.origin === self.location.origin && (url.pathname === "/field" || url.pathname.startsWith("/field/"));

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || !isOurs(url) || url.pathname === "/field/worker.js") return;
  const shell = ASSETS.includes(url.pathname);
  event.respondWith(newest(event.request, url.pathname, shell ? SHELL : PAGES));
});

async function newest(request, path, name) {
  const cache = await caches.open(name);
  try {
    const reply = await fetch(request, { signal: AbortSignal.timeout(WAIT) });
    if (reply.status === 401 || reply.status === 403) await caches.delete(PAGES);
    else if (reply.ok) await cache.put(path, reply.clone());
    else if (reply.status >= 500) return (await cache.match(path, { ignoreVary: true })) ?? reply;
    return reply;
  } catch {
    return (await cache.match(path, { ignoreVary: true })) ?? NONE.clone();
  }
}

self.addEventListener("message", (event) => {
  if (event.data?.keep) event.waitUntil(keepPages(event.data.keep, event.data.only));
});

// Keeps some pages; `only`: and no others any more.
async function keepPages(paths, only) {
  const cache = await caches.open(PAGES);
  for (const path of paths) {
    if (!isOurs(new URL(path, self.location.origin))) continue;
    await newest(new Request(path, { headers: { Accept: "text/html" } }), path, PAGES);
  }
  if (!only) return;
  for (const one of await cache.keys()) if (!paths.includes(new URL(one.url).pathname)) await cache.delete(one);
}
