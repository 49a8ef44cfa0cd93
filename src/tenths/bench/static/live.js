// What others do: server-sent events while the page is seen, asking now and then where events do not come through.
// @ts-check

import { deviceName } from "./device.js";
import { ask } from "./dom.js";

/** @typedef {{sequence: number, engines: Record<string, number>, entries: string[]}} Changed */

const ASK_EVERY = 5000;
const READY_WITHIN = 5000; // else something between here and the server holds events back
const SILENT_FOR = 40000; // the server says that it is there every 15 s; a line that stays silent only seems open
/** @type {Set<(changed: Changed) => void>} */
const changedListeners = new Set();
/** @type {Set<(value: {text: string, unit: string, gauge: string}) => void>} */
const gaugeListeners = new Set();
/** @type {Set<() => void>} */
const readyListeners = new Set();
let sequence = Number(document.body.dataset.sequence ?? "0");
/** @type {EventSource | null} */
let source = null;
/** @type {ReturnType<typeof setInterval> | undefined} */
let asking;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let silent;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let unready;
/** How many devices listen, as far as the server told. */
export let devices = 1;
/** What this page is called, for a gauge that is to type into it. */
export const pageId = Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");

/** @param {(changed: Changed) => void} listener */
export const onChanged = (listener) => { changedListeners.add(listener); };
/** @param {(value: {text: string, unit: string, gauge: string}) => void} listener */
export const onGauge = (listener) => { gaugeListeners.add(listener); };
/** When the line to the server is there (again). @param {() => void} listener */
export const onReady = (listener) => { readyListeners.add(listener); };

/** @param {Changed} changed */
function take(changed) {
  if (changed.sequence <= sequence) return;
  sequence = changed.sequence;
  for (const listener of changedListeners) listener(changed);
}

function listen() {
  if (source || document.visibilityState !== "visible") return;
  const name = document.body.dataset.engine ? `${document.body.dataset.engine}, ${document.body.dataset.place}` : document.body.dataset.place ?? "";
  source = new EventSource(`/api/events?${new URLSearchParams({ after: String(sequence), page: pageId, name, device: deviceName() })}`);
  heard();
  clearTimeout(unready);
  unready = setTimeout(startAsking, READY_WITHIN);
  source.addEventListener("ready", (event) => { crowd(event); clearTimeout(unready); stopAsking(); for (const listener of readyListeners) listener(); });
  source.addEventListener("changed", (event) => { heard(); take(JSON.parse(event.data)); });
  source.addEventListener("still", crowd);
  source.addEventListener("gauge", (event) => { heard(); for (const listener of gaugeListeners) listener(JSON.parse(event.data)); });
  source.addEventListener("error", () => {
    if (source?.readyState === EventSource.CLOSED) source = null;
    startAsking();
  });
}

/** @param {MessageEvent} event one that says how many devices listen */
function crowd(event) {
  heard();
  devices = Number(JSON.parse(event.data).devices) || 1;
}

function heard() {
  clearTimeout(silent);
  silent = setTimeout(() => { stopListening(); startAsking(); }, SILENT_FOR);
}

function stopListening() {
  clearTimeout(silent);
  clearTimeout(unready);
  source?.close();
  source = null;
}

function startAsking() {
  asking ??= setInterval(async () => {
    if (document.visibilityState !== "visible") return;
    try {
      take(await ask(`/api/changes?after=${sequence}`, { patience: 4000 }));
      for (const listener of readyListeners) listener();
      if (!source) listen();
    } catch { /* asked again in a while */ }
  }, ASK_EVERY);
}

function stopAsking() {
  clearInterval(asking);
  asking = undefined;
}

/** Listens by a new line, as when this device is called otherwise from now on. */
export function listenAnew() {
  stopListening();
  listen();
}

/** Begins to listen. A page that is not seen does not: a browser opens few lines to one server. */
export function beginLive() {
  listen();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") listen();
    else { stopListening(); stopAsking(); }
  });
  globalThis.addEventListener("pagehide", stopListening);
  globalThis.addEventListener("pageshow", listen);
}
