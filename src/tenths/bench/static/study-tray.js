// The blind tray of a study: one part after the other in an order that hides which is which. Nothing that was read before
// is shown. What is typed is kept on the device to the letter and sent when there is a line.
// @ts-check

import "./bench.js";
import { ask, byId, make, pageData, say } from "./dom.js";
import { doneAt, forget, keep, onQueue } from "./queue.js";
import { readAs } from "./read.js";
import { mute, muted, tell } from "./tones.js";

/** @typedef {{part: string, trial: number, occasion: number, reader: string}} Turn */

const SHOP = "shop";
const BOUNCE = 400; // a tap that bounces waves no question through [ms]
const data = pageData("data");
/** @type {Turn[]} */
let rows = data.rows;
let at = 0;
/** @type {Turn | null} */
let last = null;
let looked = { text: "", asked: false };
let busy = false;
let askedAt = -Infinity;

/** @param {Turn} row */
const keyOf = (row) => [SHOP, "study", data.study, row.reader, row.occasion, row.part, row.trial].join("|");

function field() { return /** @type {HTMLInputElement} */ (byId("text")); }

function show() {
  const row = rows[at];
  field().value = "";
  byId("now").hidden = !row;
  byId("done").hidden = Boolean(row);
  if (!row) return;
  byId("part").textContent = /^\d+$/.test(row.part) ? `Part ${row.part}` : row.part.charAt(0).toUpperCase() + row.part.slice(1);
  byId("which").textContent = `${row.occasion ? `occasion ${row.occasion}, ` : ""}trial ${row.trial}`;
  byId("field-name").textContent = `${byId("part").textContent}, trial ${row.trial}, in ${data.unit}`;
  byId("progress").textContent = `${Math.max(0, data.each - left())} of ${data.each} read`;
  byId("again").toggleAttribute("disabled", !last);
  looked = { text: "", asked: false };
  byId("ask").hidden = true;
  live();
  field().focus();
}

const left = () => rows.length - at;

function live() {
  const text = field().value;
  const line = byId("read");
  if (text !== looked.text) { looked = { text, asked: false }; byId("ask").hidden = true; }
  line.classList.remove("bad");
  if (!text.trim()) { line.textContent = data.setting ? `a number with a sign counts from ${data.setting}` : ""; return; }
  const read = readAs(text, data.unit, Boolean(data.setting));
  line.classList.toggle("bad", Boolean(read.wrong));
  line.textContent = read.wrong || `read as ${read.words}${read.deviation ? ` from ${data.setting}` : ""}`;
}

/** What the server asks of a text; nothing when it cannot be asked. @param {Turn} row @param {string} text */
async function questions(row, text) {
  const asked = new URLSearchParams({ part: row.part, reader: row.reader, text, trial: `${row.trial}`, occasion: `${row.occasion}` });
  try {
    return await ask(`/api/studies/${encodeURIComponent(data.study)}/question?${asked}`, { patience: 1500 });
  } catch {
    return { understood: true, questions: [] };
  }
}

/** @param {Event} event */
async function submit(event) {
  event.preventDefault();
  const row = rows[at];
  const text = field().value.trim();
  if (!row || !text || busy || performance.now() - askedAt < BOUNCE) return;
  if (readAs(text, data.unit, Boolean(data.setting)).wrong) { tell("odd"); return; }
  busy = true;
  try {
    if (!looked.asked) {
      const told = await questions(row, text);
      looked = { text: field().value, asked: true };
      const doubt = told.understood ? told.questions : [{ words: `${told.why}. Taken as it is, it may be refused.` }];
      if (doubt.length) { askedAt = performance.now(); showAsked(doubt); field().select(); tell("odd"); return; }
    }
    await keep({ engine: SHOP, type: "study.read", body: { study: data.study, ...withoutNothing(row), text },
      words: `study ${data.study}: ${row.part}, trial ${row.trial}: ${text}`, place: keyOf(row), text });
    tell("kept");
    last = row;
    at += 1;
    show();
  } catch (error) {
    say(`Not kept: ${error instanceof Error ? error.message : error}. It is still in the field.`, 15000);
  } finally {
    busy = false;
  }
}

/** @param {Turn} row */
const withoutNothing = (row) => Object.fromEntries(Object.entries(row).filter(([, value]) => value !== 0));

/** @param {{words: string}[]} asked */
function showAsked(asked) {
  byId("ask").replaceChildren(make("p", {}, asked[0].words), ...asked.slice(1, 3).map((each) => make("p", { class: "quiet" }, each.words)),
    make("p", { class: "quiet" }, "Enter takes it as typed."));
  byId("ask").hidden = false;
}

/** The last one once more: both stay in the log, the later counts. */
function again() {
  if (!last) return;
  rows = [...rows.slice(0, at), last, ...rows.slice(at)];
  last = null;
  show();
}

function later() {
  const row = rows[at];
  if (!row || left() < 2) return;
  rows = [...rows.slice(0, at), ...rows.slice(at + 1), row];
  show();
}

/** Leaves out what this device has read since the page was made. */
async function recall() {
  const done = await doneAt(`${SHOP}|study|${data.study}`);
  const known = done.filter((each) => each.position !== null && each.position <= data.position);
  await forget(known);
  const newer = new Set(done.filter((each) => !known.includes(each)).map((each) => each.place));
  rows = rows.filter((row) => !newer.has(keyOf(row)));
}

async function begin() {
  try { await recall(); } catch { /* the browser keeps nothing; the page's own rows hold */ }
  byId("entry").addEventListener("submit", (event) => void submit(event));
  field().addEventListener("input", live);
  byId("again").addEventListener("click", again);
  byId("later").addEventListener("click", later);
  const sound = byId("sound");
  sound.setAttribute("aria-pressed", String(!muted()));
  sound.addEventListener("click", () => { mute(!muted()); sound.setAttribute("aria-pressed", String(!muted())); });
  onQueue((event) => {
    if (event.kind === "refused" && event.row?.entry.type === "study.read") say(`Refused: ${event.row.why}`, 15000);
  });
  show();
}

if (data.reader) void begin();
