// The tray: one reading at a time. What is typed is kept to the letter, read at once, questioned when it looks like a
// slip, and never held back: Enter on a question takes it as typed.
// @ts-check

import { engine, strike } from "./bench.js";
import { calmly } from "./calm.js";
import { ask, byId, make, pageData, say } from "./dom.js";
import { onChanged, onGauge } from "./live.js";
import { showPiece } from "./piece.js";
import { keep, onQueue } from "./queue.js";
import { inUnit, readAs } from "./read.js";
import { mute, muted, tell } from "./tones.js";
import { keyOf, Walk } from "./walk.js";

/** @typedef {import("./walk.js").Reading} Reading */

const data = pageData("data");
const walk = new Walk(engine, data.rows, data.position);
const field = /** @type {HTMLInputElement} */ (byId("text"));
const instruments = /** @type {{instrument: string, kind: string, name: string}[]} */ (data.instruments);
const laidOut = /** @type {string[]} */ (data.laid_out);
const picker = /** @type {HTMLSelectElement} */ (byId("with"));
/** @type {Map<string, string>} the instrument taken for a kind on this visit */
const taken = new Map();
/** @type {Map<string, {id: string, size: string}>} settings made on this device */
const settings = new Map();
/** What the server said of a text, and whether the person was asked. @type {{text: string, asked: boolean, told: any}} */
let looked = { text: "", asked: false, told: null };
/** @type {{id: string, says: string, key: string, row: Reading} | null} */
let last = null;
/** @type {number | undefined} row on this device that the next reading takes the place of */
let instead;
let busy = false;
/** When the person was asked last; an Enter right behind it is the finger bouncing, not an answer. */
let askedAt = -Infinity;
const BOUNCE = 350;

// -- showing where we are ---------------------------------------------------------------------------------------------

function show() {
  const row = walk.now;
  byId("now").hidden = !row;
  byId("done").hidden = Boolean(row);
  if (!row) { list(); return; }
  byId("where").textContent = capital(row.station_words);
  byId("what").replaceChildren(make("strong", {}, row.words), row.place ? `, ${row.place}` : "");
  byId("how").textContent = `${capital(row.how)}.`;
  byId("expected").replaceChildren(...(row.expected_text ? ["expected ", make("b", { class: "num" }, row.expected_text)] : ["nothing to expect yet"]));
  byId("last").replaceChildren(...(row.last_text ? ["last read ", make("b", { class: "num" }, row.last_text)] : []));
  byId("why").textContent = row.why === "not measured" ? "" : row.why;
  byId("unit").textContent = row.unit;
  byId("field-name").textContent = `${row.station_words}, ${row.words} ${row.place}, in ${row.unit}`;
  void showSketch(row);
  instrumentsFor(row);
  places();
  list();
  field.value = draft(row);
  looked = { text: "", asked: false, told: null };
  byId("ask").hidden = true;
  live();
  void showPiece(engine, row.station, byId("piece"), () => walk.now === row);
}

/** @param {string} words */
const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

/** The small drawing of how it is read; one that did not come with the page is asked for. @param {Reading} row */
async function showSketch(row) {
  const place = byId("sketch");
  const known = () => row.sketch && document.querySelector(`[data-sketch="${CSS.escape(row.sketch)}"]`);
  if (row.sketch && !known()) await askSketch(row.sketch);
  if (walk.now !== row) return;
  const found = known();
  place.replaceChildren(...(found ? Array.from(found.childNodes, (each) => each.cloneNode(true)) : []));
  place.hidden = !place.childElementCount;
}

/** @param {string} name */
async function askSketch(name) {
  try {
    const answer = await fetch(`/sketch/${name}.svg`);
    const svg = answer.ok ? new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("svg") : null;
    if (svg) byId("sketches").append(make("div", { "data-sketch": name }, svg));
  } catch { /* then it goes without */ }
}

/** @param {Reading} row */
function instrumentsFor(row) {
  const own = instruments.filter((each) => each.kind === row.instrument_kind);
  const others = instruments.filter((each) => each.kind !== row.instrument_kind);
  const options = (/** @type {typeof instruments} */ some) => some.map((each) => make("option", { value: each.instrument }, each.name || each.instrument));
  picker.replaceChildren(
    ...(own.length ? [] : [make("option", { value: "" }, `${row.instrument_kind.replaceAll("-", " ") || "by hand"}, not listed`)]),
    ...options(own), ...(others.length ? [labelled("Others", options(others))] : []), ...(own.length ? [make("option", { value: "" }, "none named")] : []));
  const laid = own.find((each) => laidOut.includes(each.instrument))?.instrument;
  picker.value = taken.get(row.instrument_kind) ?? laid ?? (row.instrument || own[0]?.instrument || "");
  if (picker.selectedIndex < 0) picker.selectedIndex = 0;
  showSetting();
}

/** @param {string} label @param {HTMLElement[]} options */
const labelled = (label, options) => make("optgroup", { label }, ...options);

/** The size that the gauge in hand is set to, and what a reading says of it. */
function setting() {
  const own = settings.get(picker.value);
  if (own) return own;
  const row = walk.now;
  return row && row.deviation_from && picker.value === row.instrument ? { id: "", size: row.deviation_from } : null;
}

function showSetting() {
  const set = setting();
  byId("set").textContent = set ? `Set to ${set.size}` : "Set gauge";
  field.inputMode = set || walk.now?.signed ? "text" : "decimal";
}

function places() {
  const group = walk.group;
  byId("places").hidden = group.length < 2 && walk.typedAt(walk.now).length === 0;
  byId("places").replaceChildren(...group.map((row) => {
    const texts = walk.typedAt(row);
    return make("li", {}, make("button", { type: "button", ...(row === walk.now ? { "aria-current": "step" } : {}), click: () => { leave(); walk.go(row); show(); field.focus(); } },
      make("span", {}, row.place || "here"), make("b", {}, texts.length ? texts[texts.length - 1] : "–")));
  }));
  const line = byId("places");
  const here = line.querySelector("[aria-current]");
  if (here instanceof HTMLElement) line.scrollLeft = here.offsetLeft - line.offsetLeft - line.clientWidth / 3;
  byId("spread").textContent = spread();
}

/** How far the readings so far lie apart, over the places of this station and at this place alone. */
function spread() {
  const sizes = (/** @type {Reading[]} */ rows) => rows.flatMap((row) => walk.typedAt(row)).map((text) => sizeOf(text)).filter((si) => !Number.isNaN(si));
  const all = sizes(walk.group);
  if (all.length < 2) return "";
  const apart = (/** @type {number[]} */ of) => inUnit(Math.max(...of) - Math.min(...of), walk.now.unit);
  const here = sizes([walk.now]);
  return `${all.length} readings, ${apart(all)} apart${here.length > 1 ? `; here ${here.length}, ${apart(here)} apart` : ""}`;
}

/** @param {string} text as typed @returns {number} SI, with the setting that a deviation counts from */
function sizeOf(text) {
  const read = readAs(text, walk.now.unit, !walk.now.signed);
  if (!read.deviation) return read.si;
  const set = setting();
  return set ? read.si + readAs(set.size, walk.now.unit).si : NaN;
}

function list() {
  const rest = walk.readings.filter((row, i) => i > walk.at && !walk.typedAt(row).length).slice(0, 30);
  byId("next").replaceChildren(...rest.map((row) => make("li", {},
    make("span", {}, `${row.station_words}, ${row.words}${row.place ? `, ${row.place}` : ""}`),
    make("span", { class: "num" }, row.expected_text || row.instrument_kind.replaceAll("-", " ")))));
}

// -- while it is typed ------------------------------------------------------------------------------------------------

/** @type {ReturnType<typeof setTimeout> | undefined} */
let lookLater;

function live() {
  const text = field.value;
  const line = byId("read");
  remember(text);
  if (text !== looked.text) { looked = { text, asked: false, told: null }; byId("ask").hidden = true; }
  line.classList.remove("bad");
  if (!text.trim()) { line.textContent = setting() ? "a number with a sign counts from the setting" : ""; return; }
  const read = readAs(text, walk.now.unit, !walk.now.signed);
  line.classList.toggle("bad", Boolean(read.wrong));
  line.textContent = read.wrong || said(read);
  clearTimeout(lookLater);
  if (!read.wrong) lookLater = setTimeout(() => void look(text), 180);
}

/** @param {{words: string, si: number, deviation: boolean}} read */
function said(read) {
  if (!read.deviation) return `read as ${read.words}`;
  const set = setting();
  if (!set) return `read as ${read.words}, but from which size? Set the gauge first`;
  return `read as ${read.words} from ${set.size}: ${inUnit(read.si + readAs(set.size, walk.now.unit).si, walk.now.unit)}`;
}

/** Asks the server what a text would come to. @param {string} text @param {number} [patience] @returns {Promise<any>} null when it cannot be asked */
async function look(text, patience = 3000) {
  if (looked.text === text && looked.told) return looked.told;
  const row = walk.now;
  const asked = new URLSearchParams({ station: row.station, feature: row.feature, place: row.place, text, unit: row.unit, instrument: picker.value, setting: settingText() });
  try {
    const told = await ask(`/api/engines/${engine}/question?${asked}`, { patience });
    if (walk.now === row && field.value === text) { looked = { ...looked, text, told }; if (told.questions?.length) showAsk(told); }
    return told;
  } catch {
    return null;
  }
}

/** What goes into the reading's ``setting``: what the log of this device named last, for a deviation. */
function settingText() {
  const set = setting();
  return set && readAs(field.value, walk.now.unit, !walk.now.signed).deviation ? set.id && isHere(set.id) ? "" : set.id || set.size : "";
}

/** Whether a setting is still on this device; the server then knows the instrument's last setting when it comes to it. @param {string} id */
const isHere = (id) => unsent.has(id);
/** @type {Set<string>} */
const unsent = new Set();

/** @param {{questions: {words: string, meant: number | null, meant_text: string}[]}} told */
function showAsk(told) {
  const first = told.questions[0];
  const box = byId("ask");
  box.replaceChildren(make("p", {}, first.words),
    make("div", { class: "row" },
      make("button", { type: "button", click: () => { looked.asked = true; void take(); } }, "Take it as typed"),
      make("button", { type: "button", click: () => { field.select(); field.focus(); box.hidden = true; } }, "Read again")));
  box.hidden = false;
}

/** Without a line: far from what is expected. @param {string} text */
function farOff(text) {
  const row = walk.now;
  const expected = row.expected_text ? readAs(row.expected_text, row.unit).si : NaN;
  const si = sizeOf(text);
  if (Number.isNaN(expected) || Number.isNaN(si) || row.signed || expected === 0) return null;
  if (Math.abs(si - expected) < Math.max(0.0005 * 0.0254 * 8, 0.02 * Math.abs(expected))) return null;
  return { questions: [{ words: `That is far from what is expected, ${row.expected_text}.`, meant: null, meant_text: "" }] };
}

// -- taking it --------------------------------------------------------------------------------------------------------

async function take() {
  const row = walk.now;
  const text = field.value;
  if (busy || !row || !text.trim() || performance.now() - askedAt < BOUNCE) return;
  if (readAs(text, row.unit, !row.signed).wrong) { live(); tell("odd"); return; }
  busy = true;
  try {
    const told = looked.text === text && looked.told ? looked.told : await look(text, 600);
    if (walk.now !== row || field.value !== text) return;
    const doubt = told ? (told.understood ? told : { questions: [{ words: `${told.why}. Taken as it is, it may be refused.` }] }) : farOff(text);
    if (doubt?.questions?.length && !looked.asked) {
      looked = { text, asked: true, told };
      askedAt = performance.now();
      showAsk(/** @type {any} */ (doubt));
      if (document.activeElement === field) field.select(); // typed anew, also by a gauge, it takes this one's place
      tell("odd");
      return;
    }
    await store(row, text, told);
  } catch (error) {
    say(`Not kept: ${error instanceof Error ? error.message : error}. It is still in the field.`, 15000);
  } finally {
    busy = false;
  }
}

/** @param {Reading} row @param {string} text @param {any} told */
async function store(row, text, told) {
  /** @type {Record<string, string>} */
  const body = { station: row.station, feature: row.feature, text, unit: row.unit };
  if (row.place) body.place = row.place;
  if (picker.value) body.instrument = picker.value;
  const set = readAs(text, row.unit, !row.signed).deviation ? setting() : null;
  if (set) body.setting = set.id || set.size;
  const key = keyOf(engine, row);
  const says = `${row.station_words}, ${row.words}${row.place ? `, ${row.place}` : ""}: ${text}`;
  const kept = await keep({ engine, type: "reading.taken", body, words: says, place: key, text }, { instead });
  instead = undefined;
  last = { id: kept.entry.id, says, key, row };
  walk.took(row, text);
  forgetDraft();
  after(told, row, says);
  walk.next();
  show();
  field.focus();
}

/** What came of it: a word, a tone, and the fit line as soon as the server has drawn it. @param {any} told @param {Reading} row @param {string} says */
function after(told, row, says) {
  const touched = /** @type {any[]} */ (told?.findings ?? []).filter((each) => each.verdict !== "no limit" && each.verdict !== "not measured");
  const worst = touched.find((each) => each.verdict === "out") ?? touched.find((each) => each.verdict === "too close to call") ?? touched[0];
  const heard = worst?.verdict === "out" ? "out" : told?.questions?.length ? "odd" : worst ? (worst.verdict === "fits" ? "fits" : "odd") : "kept";
  tell(heard);
  const box = byId("after");
  box.hidden = false;
  box.dataset.verdict = heard;
  box.dataset.entry = last?.id ?? "";
  box.replaceChildren(
    make("div", { class: "row" }, make("p", { class: "grow" }, make("b", {}, says), " ", make("small", { class: "stands" }, "on this device")),
      make("button", { type: "button", id: "strike-last", click: () => void strikeLast() }, "Strike it")),
    ...(worst ? [make("p", { class: "came" }, `${worst.words} ${worst.text.value}: ${worst.verdict}`)] : []));
  box.dataset.station = worst?.station ?? "";
  box.dataset.characteristic = worst?.characteristic ?? "";
}

async function fitLine() {
  const box = byId("after");
  const { station, characteristic, entry } = box.dataset;
  if (!station) return;
  try {
    const answer = await fetch(`/e/${engine}/station/${station}/panel`);
    if (!answer.ok || box.dataset.entry !== entry) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const line = fresh.querySelector(`.find[data-characteristic="${characteristic}"] .fit`);
    if (!line) return;
    box.querySelector(".fit")?.remove();
    box.append(line);
  } catch { /* the word has been said already */ }
}

async function strikeLast() {
  if (!last) return;
  const { id, says, key, row } = last;
  if (!await strike(id, says)) return;
  walk.untook(key);
  walk.go(row);
  show();
}

// -- what is in the field survives a reload ---------------------------------------------------------------------------

const draftKey = `tenths-draft-${engine}`;

/** @param {Reading} row */
function draft(row) {
  try {
    const kept = JSON.parse(localStorage.getItem(draftKey) ?? "null");
    return kept && kept.key === keyOf(engine, row) ? String(kept.text) : "";
  } catch { return ""; }
}

/** @param {string} text */
function remember(text) {
  try {
    if (text) localStorage.setItem(draftKey, JSON.stringify({ key: keyOf(engine, walk.now), text }));
  } catch { /* then it is in the field alone */ }
}

function forgetDraft() { try { localStorage.removeItem(draftKey); } catch { /* there is none */ } }

function leave() { if (!field.value) forgetDraft(); }

// -- setting the gauge ------------------------------------------------------------------------------------------------

function setGauge() {
  const dialog = /** @type {HTMLDialogElement} */ (byId("setting"));
  const size = /** @type {HTMLInputElement} */ (byId("size"));
  if (!picker.value) { say("Pick the gauge first: it must be one that is listed."); return; }
  byId("h-set").textContent = `Set ${picker.selectedOptions[0]?.textContent ?? "the gauge"}`;
  size.value = setting()?.size ?? walk.now.expected_text;
  dialog.returnValue = "";
  dialog.showModal();
  size.select();
}

async function gaugeSet() {
  const dialog = /** @type {HTMLDialogElement} */ (byId("setting"));
  const size = /** @type {HTMLInputElement} */ (byId("size")).value;
  const master = /** @type {HTMLSelectElement} */ (byId("master")).value;
  if (dialog.returnValue !== "set" || !size.trim()) return;
  const kept = await keep({ engine, type: "instrument.set", body: { instrument: picker.value, master, size }, words: `set ${picker.value} from ${master} to ${size}` });
  unsent.add(kept.entry.id);
  settings.set(picker.value, { id: kept.entry.id, size });
  showSetting();
  field.focus();
  live();
}

// -- keys, swipes, gauges ---------------------------------------------------------------------------------------------

function skip() { leave(); walk.next(); show(); field.focus(); }
function back() { leave(); walk.back(); show(); field.focus(); }

function repeat() {
  if (!last) { say("Nothing was taken yet on this walk."); return; }
  walk.go(last.row);
  show();
  field.focus();
}

function listen() {
  byId("entry").addEventListener("submit", (event) => { event.preventDefault(); void take(); });
  field.addEventListener("input", live);
  byId("skip").addEventListener("click", skip);
  byId("back").addEventListener("click", back);
  byId("again").addEventListener("click", repeat);
  byId("set").addEventListener("click", setGauge);
  byId("setting").addEventListener("close", () => void gaugeSet());
  byId("setting").querySelector("[data-close]")?.addEventListener("click", () => /** @type {HTMLDialogElement} */ (byId("setting")).close(""));
  byId("size").addEventListener("input", () => { const read = readAs(/** @type {HTMLInputElement} */ (byId("size")).value, walk.now.unit); byId("size-read").textContent = read.wrong || `read as ${read.words}`; });
  picker.addEventListener("change", () => { taken.set(walk.now.instrument_kind, picker.value); showSetting(); live(); });
  byId("sound").setAttribute("aria-pressed", String(!muted()));
  byId("sound").addEventListener("click", () => { mute(!muted()); byId("sound").setAttribute("aria-pressed", String(!muted())); });
  byId("laid").addEventListener("submit", (event) => { event.preventDefault(); layOut(); });
  byId("all").addEventListener("click", () => { location.href = location.pathname; });
  document.addEventListener("keydown", (event) => {
    if (!event.altKey || event.ctrlKey || event.metaKey) return;
    const deed = { ArrowRight: skip, ArrowLeft: back, r: repeat, s: () => void strikeLast(), g: setGauge }[event.key];
    if (deed) { event.preventDefault(); deed(); }
  });
  swipes();
  onGauge((value) => gauge(value));
}

function layOut() {
  const ticked = Array.from(document.querySelectorAll("#laid input:checked"), (each) => /** @type {HTMLInputElement} */ (each).value);
  location.href = ticked.length ? `?with=${ticked.map(encodeURIComponent).join(",")}` : location.pathname;
}

function swipes() {
  let begin = { x: 0, y: 0 };
  const area = document.querySelector(".views");
  area?.addEventListener("touchstart", (event) => { const touch = /** @type {TouchEvent} */ (event).touches[0]; begin = { x: touch.clientX, y: touch.clientY }; }, { passive: true });
  area?.addEventListener("touchend", (event) => {
    const touch = /** @type {TouchEvent} */ (event).changedTouches[0];
    const [dx, dy] = [touch.clientX - begin.x, touch.clientY - begin.y];
    if (Math.abs(dx) < 60 || Math.abs(dx) < 2 * Math.abs(dy)) return;
    if (dx < 0) skip(); else back();
  }, { passive: true });
}

/** A gauge on a serial line types into the field, and Enter with it. @param {{text: string, unit: string}} value */
function gauge(value) {
  if (document.querySelector("dialog[open]") && document.activeElement?.id !== "size") return;
  const into = document.activeElement?.id === "size" ? /** @type {HTMLInputElement} */ (document.activeElement) : field;
  into.value = value.unit ? `${value.text} ${value.unit}` : value.text;
  into.dispatchEvent(new Event("input", { bubbles: true }));
  if (into === field) void take();
}

// -- beginning --------------------------------------------------------------------------------------------------------

/** A reading that a person asked for by a link: at a station, or again. */
async function asked() {
  const wanted = new URLSearchParams(location.search);
  const [station, feature, place, text] = ["at", "read", "place", "text"].map((name) => wanted.get(name) ?? "");
  if (!station || !feature) return;
  const known = walk.readings.filter((row) => row.station === station && row.feature === feature);
  const rows = known.length ? known : await rowsFor(station, feature);
  if (!rows.length) return;
  walk.ask(rows);
  walk.go(rows.find((row) => row.place === place) ?? rows[0]);
  instead = Number(wanted.get("instead")) || undefined;
  history.replaceState(null, "", location.pathname);
  if (text) try { localStorage.setItem(draftKey, JSON.stringify({ key: keyOf(engine, walk.now), text })); } catch { field.value = text; }
}

/** Rows for a feature that the tray does not ask for, because it has been read. @param {string} station @param {string} feature @returns {Promise<Reading[]>} */
async function rowsFor(station, feature) {
  const base = station.replace(/\.(shell\.(upper|lower)|cap|sleeve)$/, "");
  try {
    const [told, probe] = await Promise.all([ask(`/api/engines/${engine}/stations/${base}`), ask(`/api/engines/${engine}/question?${new URLSearchParams({ station, feature, text: "1" })}`)]);
    const known = told.features.find((/** @type {any} */ each) => each.feature === feature) ?? { words: feature.replaceAll("-", " "), how: "as before", places: [""], sketch: "", instrument: "" };
    return known.places.map((/** @type {string} */ place) => {
      const before = told.readings.filter((/** @type {any} */ r) => r.station === station && r.feature === feature && r.place === place).pop();
      return { station, station_words: told.words, feature, words: known.words, place, how: known.how, sketch: known.sketch, instrument_kind: known.instrument,
        instrument: before?.instrument ?? told.readings.findLast((/** @type {any} */ r) => r.feature === feature)?.instrument ?? "", unit: probe.unit ?? before?.unit ?? "", expected: probe.expected ?? null, expected_text: probe.expected_text ?? "",
        last_text: before?.text ?? "", signed: false, why: "", deviation_from: "" };
    });
  } catch {
    say("That reading could not be opened without a line.");
    return [];
  }
}

onQueue((event) => {
  if (!event.row || event.row.engine !== engine) return;
  const { entry, place } = event.row;
  if (event.kind === "saved") unsent.delete(entry.id);
  if (event.kind === "refused" && place) { walk.untook(place); places(); }
  const box = byId("after");
  if (box.dataset.entry !== entry.id) return;
  const stands = box.querySelector(".stands");
  if (event.kind === "saved") { if (stands) stands.textContent = "saved"; void fitLine(); }
  if (event.kind === "refused") {
    if (stands) stands.textContent = `refused: ${event.row.why}`;
    box.dataset.verdict = "out";
    tell("out");
  }
});

/** Others took readings, or our own changed what is expected: the rest of the walk is asked anew. */
let position = data.position;
const renew = calmly(async () => {
  const idle = () => !field.value && !busy;
  if (!idle()) return true;
  const [asked, deeds] = [position, walk.deeds];
  const rows = await ask(`/api/engines/${engine}/tray?limit=200${laidOut.length ? `&with=${laidOut.join(",")}` : ""}`);
  if (deeds === walk.deeds && await walk.renew(rows, asked, idle)) show();
  return true;
});
onChanged((changed) => {
  if (!(engine in changed.engines)) return;
  position = changed.engines[engine];
  renew();
});

await walk.recall().catch(() => {});
await asked();
listen();
show();
if (matchMedia("(pointer: fine)").matches) field.focus();
