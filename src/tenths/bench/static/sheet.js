// Sizes of a maker's sheet: typed, read at once, kept on the device and sent; or a CSV file as a whole.
// @ts-check

import { engine } from "./bench.js";
import { ask, byId } from "./dom.js";
import { keep } from "./queue.js";
import { readAs } from "./read.js";

/** @param {Element} row @param {string} [which] @returns {HTMLInputElement} */
const field = (row, which = "input") => /** @type {HTMLInputElement} */ (row.querySelector(which));
const rowsOf = (/** @type {string} */ has) => Array.from(document.querySelectorAll(`.sizes li[data-${has}]`)).filter((row) => row instanceof HTMLElement);

const plain = (/** @type {string} */ name) => name.toLowerCase().replace(/^sae/, "").replace(/[^a-z0-9]/g, "");

/** One of some names is typed. @param {HTMLElement} row @param {string[]} names @returns {boolean} whether it can be taken */
function lookNamed(row, names) {
  const typed = field(row).value.trim();
  const known = names.find((name) => plain(name) === plain(typed));
  const line = /** @type {HTMLElement} */ (row.querySelector(".read"));
  line.textContent = !typed ? "" : known ? `read as ${known}` : `is not known; taken are ${names.slice(0, 3).join(", ")} and others of the list`;
  line.classList.toggle("bad", Boolean(typed) && !known);
  return !typed || Boolean(known);
}

/** Reads a row as typed; says what is wrong. @param {HTMLElement} row @returns {boolean} whether it can be taken */
function look(row) {
  if (row.dataset.names) return lookNamed(row, row.dataset.names.split("|"));
  const unit = row.dataset.unit ?? "";
  const told = Array.from(row.querySelectorAll("input"), (each) => (each.value.trim() ? readAs(each.value, unit) : null)).filter((each) => each !== null);
  const bad = told.find((each) => each.wrong);
  const line = /** @type {HTMLElement} */ (row.querySelector(".read"));
  line.textContent = bad ? bad.wrong : told.length ? `read as ${told.map((each) => each.words).join(row.dataset.feature ? " ±" : " to ")}` : "";
  line.classList.toggle("bad", Boolean(bad));
  return !bad;
}

/** @returns {import("./queue.js").What[]} */
function stated() {
  const sizes = rowsOf("feature").filter((row) => field(row).value.trim() && field(row).value !== row.dataset.stated).map((row) => ({
    engine, type: "size.stated", words: `${row.dataset.feature} of ${row.dataset.station}: ${field(row).value}`,
    body: { station: row.dataset.station, feature: row.dataset.feature, text: field(row).value, tolerance: field(row, ".tolerance").value, source: "maker's sheet" },
  }));
  const limits = rowsOf("characteristic").filter((row) => field(row, ".lower").value.trim() || field(row, ".upper").value.trim()).map((row) => ({
    engine, type: "limit.stated", words: `limits of ${row.dataset.characteristic}`,
    body: { station: row.dataset.station, characteristic: row.dataset.characteristic, lower: field(row, ".lower").value, upper: field(row, ".upper").value },
  }));
  return [...sizes, ...limits];
}

let going = false;

/** @param {Event} event */
async function submit(event) {
  event.preventDefault();
  const wrong = [...rowsOf("feature"), ...rowsOf("characteristic")].filter((row) => !look(/** @type {HTMLElement} */ (row)));
  if (wrong.length) {
    wrong[0].closest("details")?.setAttribute("open", "");
    field(wrong[0]).focus();
    return;
  }
  if (going) return;
  going = true;
  try {
    for (const what of stated()) await keep(what);
    location.href = `/e/${engine}/tray`;
  } catch (error) {
    going = false;
    const line = byId("said");
    line.textContent = `Not kept: ${error instanceof Error ? error.message : error}. It still stands here.`;
    line.hidden = false;
  }
}

/** Shows what a file has stated, where nothing was typed. */
async function showStated() {
  const answer = await fetch(location.pathname, { headers: { Accept: "text/html" } });
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const row of rowsOf("feature")) {
    const now = fresh.querySelector(`.sizes li[data-station="${CSS.escape(row.dataset.station ?? "")}"][data-feature="${CSS.escape(row.dataset.feature ?? "")}"]`);
    if (!(now instanceof HTMLElement) || field(row).value !== row.dataset.stated) continue;
    row.dataset.stated = field(row).value = now.dataset.stated ?? "";
  }
}

/** @param {HTMLInputElement} input */
async function sheet(input) {
  const file = input.files?.[0];
  if (!file) return;
  const said = byId("csv-said");
  try {
    const told = await ask(`/api/engines/${engine}/sheet`, { body: { csv: await file.text(), source: file.name } });
    said.textContent = `${told.rows} rows are in.`;
    said.className = "";
    await showStated().catch(() => {});
  } catch (error) {
    said.textContent = error instanceof Error ? error.message : "That did not go.";
    said.className = "wrong";
  }
  input.value = "";
}

/** Enter moves on to the next size, as on the tray; the form goes out by its button. @param {KeyboardEvent} event */
function moveOn(event) {
  const from = event.target;
  if (event.key !== "Enter" || !(from instanceof HTMLInputElement)) return;
  event.preventDefault();
  const fields = Array.from(document.querySelectorAll(".sizes input")).filter((each) => each instanceof HTMLInputElement && each.offsetParent !== null);
  const next = fields.slice(fields.indexOf(from) + 1).find((each) => !each.classList.contains("tolerance")) ?? document.querySelector("#sizes button.first");
  if (next instanceof HTMLElement) next.focus();
}

for (const each of document.querySelectorAll(".sizes input")) each.setAttribute("enterkeyhint", "next");
byId("sizes").addEventListener("keydown", moveOn);
byId("sizes").addEventListener("submit", (event) => void submit(event));
byId("sizes").addEventListener("input", (event) => {
  const row = event.target instanceof Element ? event.target.closest("li") : null;
  if (row) look(row);
});
byId("csv").addEventListener("change", (event) => void sheet(/** @type {HTMLInputElement} */ (event.target)));
