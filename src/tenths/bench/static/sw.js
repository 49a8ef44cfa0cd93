// Keeps the shell and the pages that were visited, so that a reload works without a line. Nothing is answered from here
// that the server can answer; what is written goes past here to the server, or waits on the device.
// @ts-check
/// <reference lib="webworker" />

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const SHELL = "tenths-shell";
const PAGES = "tenths-pages";
const MOST_PAGES = 200;
const PATIENCE = 6000;

worker.addEventListener("install", (event) => {
  event.waitUntil(shell().then(() => worker.skipWaiting()));
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(worker.clients.claim().then(keepOpenPages));
});

/** The pages that were loaded before there was a worker are kept as well, so that the very first visit can be reloaded. */
async function keepOpenPages() {
  for (const client of await worker.clients.matchAll({ type: "window" })) {
    const request = new Request(client.url, { headers: { Accept: "text/html" } });
    if (isPage(request, new URL(client.url))) await page(request, new URL(client.url)).catch(() => {});
  }
}

async function shell() {
  const told = await (await fetch("/api/assets", { cache: "no-store" })).json();
  const cache = await caches.open(SHELL);
  await cache.addAll(told.urls);
  const wanted = new Set(told.urls.map((/** @type {string} */ url) => new URL(url, location.origin).href));
  for (const request of await cache.keys()) if (!wanted.has(request.url)) await cache.delete(request);
}

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/") || url.pathname.startsWith("/font/")) event.respondWith(kept(event.request));
  else if (isPage(event.request, url)) event.respondWith(page(event.request, url));
});

/** @param {Request} request @param {URL} url */
function isPage(request, url) {
  if (url.pathname.startsWith("/api/") || url.pathname.startsWith("/c/") || url.pathname.startsWith("/people") || url.pathname.startsWith("/sign")) return false;
  return request.mode === "navigate" || url.pathname.endsWith("/drawing.svg") || (request.headers.get("Accept") ?? "").includes("text/html");
}

/** What never changes under its address. @param {Request} request */
async function kept(request) {
  const known = await caches.match(request);
  if (known) return known;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(SHELL)).put(request, answer.clone());
  return answer;
}

/** From the server while it answers, else as it was seen last. @param {Request} request @param {URL} url */
async function page(request, url) {
  const cache = await caches.open(PAGES);
  const turning = url.pathname.endsWith("/drawing.svg") && url.searchParams.has("crank");
  try {
    const answer = await patiently(request);
    if (answer.ok && !answer.redirected && !turning) {
      await cache.put(request, answer.clone());
      void trim(cache);
    }
    if (answer.status < 502 || answer.status > 504) return answer; // else something between here and the server speaks for it
    return await cache.match(request) ?? answer;
  } catch (error) {
    const known = await cache.match(request) ?? await cache.match(request, { ignoreSearch: true, ignoreVary: true });
    if (known) return known;
    if (request.mode !== "navigate") throw error;
    return new Response("<!doctype html><meta charset=utf-8><meta name=viewport content='width=device-width'><title>No line</title><h1>No line to the server</h1><p>This page has not been visited on this device yet. What was typed is kept, and sent when the line is back.</p><p><a href='/'>To the floor</a></p>",
      { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
  }
}

/** @param {Request} request @returns {Promise<Response>} */
function patiently(request) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("no answer")), PATIENCE);
    fetch(request).then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/** @param {Cache} cache */
async function trim(cache) {
  const all = await cache.keys();
  for (const request of all.slice(0, Math.max(0, all.length - MOST_PAGES))) await cache.delete(request);
}
