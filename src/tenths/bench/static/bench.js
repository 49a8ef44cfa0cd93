// What every page does: light, the state of what was typed here, live changes, the service worker.
// @ts-check

import { calmly } from "./calm.js";
import { deviceName, nameDevice } from "./device.js";
import { ask, byId, make, question, say } from "./dom.js";
import { beginLive, listenAnew, onChanged, onGauge, onReady } from "./live.js";
import { begin, discard, flush, keep, line, onQueue, rows } from "./queue.js";
import { swap } from "./swap.js";

/** @typedef {import("./queue.js").Row} Row */

export const engine = document.body.dataset.engine ?? "";

// -- light ------------------------------------------------------------------------------------------------------------

function light() {
  const button = document.getElementById("theme");
  if (!button) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    const root = document.documentElement;
    const dark = root.dataset.theme === "dark" || (root.dataset.theme === "auto" && matchMedia("(prefers-color-scheme: dark)").matches);
    root.dataset.theme = dark ? "bright" : "dark";
    try { localStorage.setItem("tenths-light", root.dataset.theme); } catch { /* holds for this page then */ }
  });
}

// -- the state of what was typed here ---------------------------------------------------------------------------------

async function showState() {
  const chip = document.getElementById("state");
  if (!chip) return;
  let kept;
  try {
    kept = await rows();
  } catch {
    chip.textContent = "this browser keeps nothing";
    chip.dataset.state = "refused";
    chip.hidden = false;
    return;
  }
  const refusedOnes = kept.filter((row) => row.state === "refused").length;
  const here = kept.length - refusedOnes;
  const texts = [refusedOnes ? `${refusedOnes} refused` : "", here ? `${here} on this device` : ""].filter(Boolean);
  const noLine = line.open ? "" : "no line";
  chip.textContent = texts.join(", ") || noLine || "saved";
  chip.title = line.open ? "" : line.why;
  chip.dataset.state = refusedOnes ? "refused" : here ? "here" : "saved";
  chip.dataset.line = line.open ? "on" : "off";
  chip.hidden = false;
}

async function showKept() {
  const kept = await rows();
  const list = make("ul", { class: "kept" }, ...kept.map(keptRow));
  const name = /** @type {HTMLInputElement} */ (make("input", { value: deviceName(), maxlength: "60", autocomplete: "off" }));
  const dialog = /** @type {HTMLDialogElement} */ (make("dialog", { "aria-labelledby": "kept-title", id: "kept" },
    make("h2", { id: "kept-title" }, "On this device"),
    kept.length ? list : make("p", {}, "Everything that was typed here is saved."),
    ...(line.open ? [] : [make("p", { class: "quiet" }, `No answer from the server (${line.why}). It is tried again by itself.`)]),
    make("form", { method: "dialog" },
      make("p", {}, make("label", {}, "What this device is called", name)),
      make("div", { class: "row end" }, make("button", { type: "button", click: () => void flush() }, "Send now"), make("button", { class: "first" }, "Good")))));
  dialog.addEventListener("close", () => {
    dialog.remove();
    if (name.value.trim() === deviceName()) return;
    nameDevice(name.value);
    listenAnew();
  });
  document.body.append(dialog);
  dialog.showModal();
}

/** @param {Row} row */
function keptRow(row) {
  const refusedRow = row.state === "refused";
  const at = new Date(row.entry.at);
  return make("li", { "data-id": row.entry.id },
    make("div", { class: "says" }, row.words), make("small", {}, `${row.engine}, ${at.toLocaleString()}: ${refusedRow ? "refused" : "on this device"}`),
    ...(refusedRow ? [make("p", { class: "why" }, row.why), ...sinceList(row.since), deeds(row)] : []));
}

/** What others wrote meanwhile. @param {Row["since"]} since @returns {Node[]} */
export function sinceList(since) {
  if (!since.length) return [];
  return [make("p", {}, "Meanwhile:"), make("ul", {}, ...since.map((each) => make("li", {}, `${each.sentence} (${each.person})`)))];
}

/** What a person can decide about a refused entry. @param {Row} row */
function deeds(row) {
  const body = JSON.parse(row.entry.body);
  const anew = row.entry.type === "reading.taken"
    ? make("a", { class: "button", href: `/e/${row.engine}/tray?${new URLSearchParams({ at: body.station, read: body.feature, place: body.place ?? "", text: body.text, instead: String(row.seq) })}` }, "Edit as new")
    : row.entry.type === "choice.accepted"
      ? make("a", { class: "button", href: `/e/${row.engine}/choices#${body.question}` }, "Look again")
      : make("button", { type: "button", click: () => void again(row, body) }, "Send as new");
  return make("div", { class: "row" }, anew, make("button", { type: "button", class: "danger", click: () => void drop(row) }, "Discard"));
}

/** @param {Row} row @param {object} body */
async function again(row, body) {
  await keep({ engine: row.engine, type: row.entry.type, schema: row.entry.schema, body, words: row.words, place: row.place, file: row.file }, { instead: row.seq });
  closeKept();
}

/** @param {Row} row */
async function drop(row) {
  const sure = await question({ title: "Discard for good?", words: `${row.words}. It was never saved, and will be nowhere.`, yes: "Discard", danger: true });
  if (sure === null) return;
  await discard(row);
  closeKept();
}

function closeKept() {
  const open = document.getElementById("kept");
  if (open instanceof HTMLDialogElement) open.close();
}

// -- strikes, on every page that shows entries ------------------------------------------------------------------------

const REASONS = ["misread", "wrong place", "part not clean", "gauge not set"];

/** Strikes an entry with a reason. @param {string} entry @param {string} says @returns {Promise<boolean>} */
export async function strike(entry, says) {
  const why = await question({ title: "Strike it?", words: `${says}. It stays readable, and counts no more.`, label: "Why", yes: "Strike", danger: true, ready: REASONS });
  if (!why) return false;
  await keep({ engine, type: "entry.struck", body: { entry, reason: why }, words: `struck ${says}: ${why}`, seen: seen() });
  return true;
}

/** The position of the log that this page shows. */
export const seen = () => Number(document.body.dataset.position || "0") || undefined;

function strikes() {
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("[data-strike]") : null;
    if (button instanceof HTMLElement) void strike(button.dataset.strike ?? "", button.dataset.says ?? "");
  });
}

/** Shows what only works with a script. @param {ParentNode} [within] */
export function showNeeds(within = document) {
  for (const each of within.querySelectorAll(".needs-script")) if (each instanceof HTMLElement) each.hidden = false;
}

// -- beginning --------------------------------------------------------------------------------------------------------

/**
 * Keeps parts of the page as the log has them, when others write.
 * @param {string[]} parts
 * @param {() => void} [afterwards]
 * @param {() => boolean} [wanted]
 */
export function follow(parts, afterwards = () => {}, wanted = () => true) {
  const renew = calmly(async () => {
    if (!wanted()) return true;
    if (!await swap(location.href, parts)) return false;
    showNeeds();
    afterwards();
    return true;
  });
  onChanged((changed) => { if (!engine || engine in changed.engines) renew(); });
}

function worker() {
  if (!("serviceWorker" in navigator) || !isSecureContext) return;
  navigator.serviceWorker.register("/sw.js").catch(() => say("Reloading without a line will not work in this browser."));
  if (!engine) return;
  if (navigator.serviceWorker.controller) void keepTray();
  else navigator.serviceWorker.addEventListener("controllerchange", () => void keepTray(), { once: true });
}

const KEPT_FOR = 3600000; // ms until the tray is taken anew by another page of its engine

/** The tray of an engine is kept from its first page on: the line may be gone by the time somebody goes there. */
async function keepTray() {
  const tray = `/e/${engine}/tray`;
  if (location.pathname === tray) return;
  const known = await caches.match(tray, { ignoreVary: true });
  if (known && Date.now() - Date.parse(known.headers.get("Date") ?? "") < KEPT_FOR) return;
  await fetch(tray, { headers: { Accept: "text/html" }, priority: "low" }).catch(() => {});
}

/** Stays awake on a wall, where the browser allows. */
async function awake() {
  try {
    if (document.visibilityState === "visible") await navigator.wakeLock?.request("screen");
  } catch { /* the browser does not allow it */ }
}

/** A gauge types into the field that has the focus; the tray sees to its own. */
function gauges() {
  onGauge((value) => {
    const field = document.activeElement;
    if (document.body.dataset.place === "tray" || !(field instanceof HTMLInputElement) || field.type !== "text" || field.readOnly) return;
    field.value = value.unit ? `${value.text} ${value.unit}` : value.text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

/** A form of the page itself goes out once, however often its button is tapped. */
function once() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !(form instanceof HTMLFormElement) || form.method !== "post") return;
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
  globalThis.addEventListener("pageshow", () => { for (const form of document.querySelectorAll("form[data-sent]")) form.removeAttribute("data-sent"); });
}

light();
once();
gauges();
showNeeds();
strikes();
onQueue(() => void showState());
onReady(() => void flush());
document.getElementById("state")?.addEventListener("click", () => void showKept());
begin();
void showState();
beginLive();
worker();
void awake();
document.addEventListener("visibilitychange", () => void awake());
if (document.body.dataset.place === "floor" && location.pathname === "/") follow(["#main"]);
export { ask, byId };
