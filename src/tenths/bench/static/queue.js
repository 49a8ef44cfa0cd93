// What was typed on this device and is not yet known to be saved. Every entry is written to the device's own store, with
// strict durability, before it is sent; it leaves it only when the server has answered that it is committed. What the
// server refuses stays until a person decides. Sending the same entry twice does no harm: its id was made here.
// @ts-check

import { deviceName } from "./device.js";
import { Answer, ask } from "./dom.js";
import { nextId, now } from "./ids.js";

/**
 * @typedef {{id: string, type: string, schema: number, at: string, body: string, device: string, seen?: number}} Entry
 * @typedef {{seq: number, engine: string, entry: Entry, words: string, place: string, state: "here" | "refused",
 *   why: string, conflict: boolean, since: {sentence: string, person: string, at: string}[], file?: Blob}} Row
 * @typedef {{place: string, id: string, text: string, position: number | null}} Done  what was read at a place of an engine
 * @typedef {{kind: "kept" | "saved" | "refused" | "gone" | "line", row?: Row, position?: number}} Event
 * @typedef {{engine: string, type: string, schema?: number, body: object, words: string, seen?: number, place?: string, text?: string, file?: Blob}} What
 */

const BATCH = 50;
const LONGEST_WAIT = 15000;
const LONGEST_UPLOAD = 180000;
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("tenths") : null;
/** @type {Set<(event: Event) => void>} */
const listeners = new Set();
/** Whether the last try reached the server, and if not, why. */
export const line = { open: true, why: "" };

// -- the store --------------------------------------------------------------------------------------------------------

/** @type {Promise<IDBDatabase> | null} */
let opened = null;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("tenths", 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true });
      request.result.createObjectStore("done", { keyPath: "place" });
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => { request.result.close(); opened = null; };
      request.result.onclose = () => { opened = null; };
      resolve(request.result);
    };
    request.onerror = () => { opened = null; reject(request.error); };
  });
  return opened;
}

/**
 * Works on the store in one transaction and resolves when it is on the disk.
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(outbox: IDBObjectStore, done: IDBObjectStore) => IDBRequest<T> | void} work
 * @returns {Promise<T>}
 */
async function stored(mode, work) {
  const store = await database();
  return new Promise((resolve, reject) => {
    const transaction = store.transaction(["outbox", "done"], mode, { durability: "strict" });
    const request = work(transaction.objectStore("outbox"), transaction.objectStore("done"));
    transaction.oncomplete = () => resolve(/** @type {T} */ (request ? request.result : undefined));
    transaction.onabort = transaction.onerror = () => reject(transaction.error ?? new Error("the device's store gave up"));
  });
}

/** All that is kept here, in the order it was typed. @returns {Promise<Row[]>} */
export const rows = () => stored("readonly", (outbox) => outbox.getAll());

/** What was read at places of an engine from this device. @param {string} engine @returns {Promise<Done[]>} */
export const doneAt = (engine) => stored("readonly", (_, done) => done.getAll(IDBKeyRange.bound(`${engine}|`, `${engine}|\uffff`)));

/**
 * Keeps an entry on the device, then sends it. Resolves when it is kept.
 * @param {What} what
 * @param {{instead?: number}} [how] the row that this one takes the place of
 * @returns {Promise<Row>}
 */
export async function keep(what, { instead } = {}) {
  /** @type {Entry} */
  const entry = { id: nextId(), type: what.type, schema: what.schema ?? 1, at: now(), body: JSON.stringify(what.body), device: deviceName() };
  if (what.seen !== undefined) entry.seen = what.seen;
  /** @type {Omit<Row, "seq">} */
  const row = { engine: what.engine, entry, words: what.words, place: what.place ?? "", state: "here", why: "",
    conflict: false, since: [], ...(what.file ? { file: what.file } : {}) };
  const seq = await stored("readwrite", (outbox, done) => {
    if (instead !== undefined) outbox.delete(instead);
    if (what.place) done.put({ place: what.place, id: entry.id, text: what.text ?? "", position: null });
    return outbox.add(row);
  });
  const kept = { ...row, seq: Number(seq) };
  tell({ kind: "kept", row: kept });
  void flush();
  return kept;
}

/** Takes a refused entry out of the device for good. @param {Row} row */
export async function discard(row) {
  await stored("readwrite", (outbox, done) => {
    outbox.delete(row.seq);
    if (row.place) done.delete(row.place);
  });
  tell({ kind: "gone", row });
}

/** Forgets what was read at places, once a page came that knows of it. @param {Done[]} known */
export async function forget(known) {
  if (known.length) await stored("readwrite", (_, done) => { for (const each of known) done.delete(each.place); });
}

// -- sending ----------------------------------------------------------------------------------------------------------

let waits = 0;
/** Readings do not wait behind a photograph that takes its time: each has a lane of its own. */
const lanes = [
  { lock: "tenths-send", asked: false, takes: (/** @type {Row} */ row) => !row.file },
  { lock: "tenths-send-files", asked: false, takes: (/** @type {Row} */ row) => Boolean(row.file) },
];
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** Sends what is kept, in order; one tab at a time where the browser can tell tabs apart. */
export async function flush() {
  clearTimeout(timer);
  await Promise.all(lanes.map(go));
}

/** @param {typeof lanes[0]} lane */
async function go(lane) {
  if (lane.asked) return;
  lane.asked = true;
  const turn = async () => { lane.asked = false; return drain(lane.takes); };
  try {
    const sent = navigator.locks ? await navigator.locks.request(lane.lock, turn) : await turn();
    if (!sent && (lane !== lanes[0] || (await rows()).some((row) => row.state === "here"))) return;
    waits = 0;
    reached("");
  } catch (error) {
    lane.asked = false;
    reached(error instanceof Answer ? error.message : "no line to the server");
    later();
  }
}

function later() {
  clearTimeout(timer);
  const wait = Math.min(LONGEST_WAIT, 500 * 2 ** waits) * (0.75 + Math.random() / 2);
  waits = Math.min(waits + 1, 6);
  timer = setTimeout(() => void flush(), wait);
}

/** @param {string} why empty when the server answered */
function reached(why) {
  const changed = line.why !== why;
  line.open = why === "";
  line.why = why;
  if (changed) tell({ kind: "line" });
}

/** @param {(row: Row) => boolean} takes @returns {Promise<boolean>} whether anything was sent */
async function drain(takes) {
  for (let sent = false; ; sent = true) {
    const waiting = (await rows()).filter((row) => row.state === "here" && takes(row));
    if (!waiting.length) return sent;
    const { engine, file } = waiting[0];
    if (file) { await sendFile(waiting[0], file); continue; }
    const end = waiting.findIndex((row) => row.engine !== engine);
    await send(engine, waiting.slice(0, Math.min(end < 0 ? waiting.length : end, BATCH)));
  }
}

/** Whether sending the same again would be answered the same. @param {unknown} error @returns {error is Answer} */
const isLasting = (error) => error instanceof Answer && error.status >= 400 && error.status < 500 && ![401, 403, 408, 421, 425, 429].includes(error.status);

/** A photograph goes by itself, as a form. @param {Row} row @param {Blob} file */
async function sendFile(row, file) {
  const form = new FormData();
  const texts = { ...JSON.parse(row.entry.body), id: row.entry.id, at: row.entry.at, device: row.entry.device };
  for (const [name, text] of Object.entries(texts)) form.set(name, String(text));
  form.set("file", file);
  let answer;
  try {
    answer = await ask(`/api/engines/${row.engine}/photos`, { form, patience: LONGEST_UPLOAD });
  } catch (error) {
    if (!isLasting(error)) throw error;
    await refused(row, { why: error.message });
    return;
  }
  if (answer.state === "saved") await saved(row, answer.position);
  else await refused(row, answer);
}

/** @param {string} engine @param {Row[]} batch */
async function send(engine, batch) {
  let answers;
  try {
    answers = await ask(`/api/engines/${engine}/entries`, { body: batch.map((row) => row.entry) });
  } catch (error) {
    if (!isLasting(error)) throw error;
    if (batch.length === 1) await refused(batch[0], { why: error.message });
    else for (const row of batch) await send(engine, [row]);
    return;
  }
  const byEntry = new Map(answers.map((/** @type {any} */ answer) => [answer.id, answer]));
  for (const row of batch) {
    const answer = byEntry.get(row.entry.id);
    if (!answer) throw new Error("the server left an entry unanswered");
    if (answer.state === "saved") await saved(row, answer.position);
    else await refused(row, answer);
  }
}

/** @param {Row} row @param {number} position */
async function saved(row, position) {
  await stored("readwrite", (outbox, done) => {
    outbox.delete(row.seq);
    if (row.place) {
      const known = done.get(row.place);
      known.onsuccess = () => { if (known.result?.id === row.entry.id) done.put({ ...known.result, position }); };
    }
  });
  tell({ kind: "saved", row, position });
}

/** @param {Row} row @param {{why?: string, conflict?: boolean, since?: Row["since"]}} answer */
async function refused(row, answer) {
  const marked = { ...row, state: /** @type {const} */ ("refused"), why: answer.why ?? "", conflict: answer.conflict ?? false,
    since: answer.since ?? [] };
  await stored("readwrite", (outbox, done) => {
    outbox.put(marked);
    if (row.place) done.delete(row.place);
  });
  tell({ kind: "refused", row: marked });
}

// -- telling ----------------------------------------------------------------------------------------------------------

/** @param {(event: Event) => void} listener */
export const onQueue = (listener) => { listeners.add(listener); };

/** @param {Event} event */
function tell(event) {
  for (const listener of listeners) listener(event);
  channel?.postMessage(event);
}

channel?.addEventListener("message", (message) => { for (const listener of listeners) listener(message.data); });
globalThis.addEventListener("online", () => { waits = 0; void flush(); });
document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") void flush(); });

/** Begins: asks the browser to keep the store, and sends what an earlier visit left. */
export function begin() {
  void navigator.storage?.persist?.();
  void flush();
}
