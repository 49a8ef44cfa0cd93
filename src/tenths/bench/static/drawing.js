// The drawing: stations are tapped or walked along with the arrow keys, the crank turns, photographs and notes are taken.
// @ts-check

import { engine, follow, showNeeds } from "./bench.js";
import { inCycle, pistonDepth, turnTo } from "./crank.js";
import { byId, pageData, say } from "./dom.js";
import { keep, onQueue } from "./queue.js";
import { swap } from "./swap.js";

const walk = (byId("panel").dataset.walk ?? "").split(" ");

const view = () => byId("svg").dataset.view ?? "side";
const chosen = () => document.getElementById("station")?.dataset.station ?? "";

/** Opens a station beside or below the drawing. @param {string} station @param {boolean} [remember] */
async function open(station, remember = true) {
  if (!station || station === chosen()) return;
  const url = `/e/${engine}/station/${station}?view=${view()}`;
  const fresh = await swap(url, ["#panel"]);
  if (!fresh) { location.href = url; return; }
  if (remember) history.pushState({ station }, "", url);
  document.title = fresh.title;
  mark(station);
  showNeeds(byId("panel"));
  if (matchMedia("(max-width: 61.99rem)").matches) byId("panel").scrollIntoView({ block: "start", behavior: "smooth" });
}

/** @param {string} station */
function mark(station) {
  for (const each of document.querySelectorAll("[data-at]")) each.toggleAttribute("aria-current", each.getAttribute("data-at") === station);
  for (const each of document.querySelectorAll("#svg .dr-st")) {
    const here = each.getAttribute("data-station") === station;
    each.classList.toggle("here", here);
    each.setAttribute("tabindex", here ? "0" : "-1");
  }
  if (!document.querySelector('#svg .dr-st[tabindex="0"]')) document.querySelector("#svg .dr-st")?.setAttribute("tabindex", "0");
}

/** @param {number} step along the walk */
function step(step) {
  const at = walk.indexOf(chosen());
  void open(walk[Math.min(Math.max(at + step, 0), walk.length - 1)] ?? "");
}

function listen() {
  byId("svg").addEventListener("click", (event) => choose(event.target));
  byId("svg").addEventListener("keydown", (event) => {
    if (event.key === "Enter" || event.key === " ") { event.preventDefault(); choose(event.target); }
  });
  document.addEventListener("keydown", (event) => {
    if (event.target instanceof Element && event.target.closest("input, select, textarea, dialog, .scroll, [role=group][tabindex='0']:not(svg)")) return;
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "ArrowRight" || event.key === "ArrowDown") { event.preventDefault(); step(1); }
    if (event.key === "ArrowLeft" || event.key === "ArrowUp") { event.preventDefault(); step(-1); }
  });
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest(`a[href^="/e/${engine}/station/"]`) : null;
    if (!(link instanceof HTMLAnchorElement) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    void open(decodeURIComponent(link.pathname.split("/").pop() ?? ""));
  });
  globalThis.addEventListener("popstate", () => { location.reload(); });
}

/** @param {EventTarget | null} target */
function choose(target) {
  const station = target instanceof Element ? target.closest("[data-station]") : null;
  if (station) void open(station.getAttribute("data-station") ?? "");
}

// -- the crank --------------------------------------------------------------------------------------------------------

const STROKES = ["power", "exhaust", "intake", "compression"];
const RAD = Math.PI / 180;
/** @type {any} what the server told of crank, rod and cylinders */
const told = document.getElementById("turning") ? pageData("turning") : null;
let angle = Number(new URLSearchParams(location.search).get("crank")) || 0;

/** Turns the drawing and writes where the pistons then stand. @param {number} crank [deg] */
function turn(crank) {
  angle = crank;
  const svg = document.querySelector("#svg svg");
  if (svg instanceof SVGSVGElement) turnTo(svg, crank);
  byId("angle").textContent = `${crank}°`;
  for (const row of told.cylinders) heights(row, crank);
  for (const link of document.querySelectorAll(".tops a")) link.toggleAttribute("aria-current", Math.abs(inCycle(Number(link.getAttribute("data-crank")) - crank)) < 0.5);
  for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll(".tabs a"))) link.search = `?view=${link.dataset.view}&crank=${crank}`;
}

/** @param {any} row a cylinder @param {number} crank [deg] */
function heights(row, crank) {
  const line = document.querySelector(`.pistons [data-cylinder="${CSS.escape(row.cylinder)}"]`);
  if (!line || !told.throw) return;
  const t = { stroke: told.throw.stroke, rod: told.throw.rod_length, offset: told.throw.pin_offset };
  const depth = pistonDepth((row.phase + crank) * RAD, t) + (row.deck_clearance ?? 0);
  const [size, stroke] = line.querySelectorAll("span");
  size.textContent = `${(depth * told.per_metre).toFixed(told.decimals).replace("-0.000", "0.000")} ${told.unit}`;
  stroke.textContent = STROKES[Math.floor((((crank - row.fires) % 720) + 720) % 720 / 180)];
}

function crank() {
  if (!told) return;
  const slider = /** @type {HTMLInputElement} */ (byId("turn"));
  let asked = 0;
  byId("crank").hidden = false;
  slider.addEventListener("input", () => {
    cancelAnimationFrame(asked);
    asked = requestAnimationFrame(() => turn(Number(slider.value)));
  });
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest("[data-crank]:not(svg)") : null;
    if (!link || event instanceof MouseEvent && (event.ctrlKey || event.metaKey || event.shiftKey)) return;
    event.preventDefault();
    slider.value = link.getAttribute("data-crank") ?? "0";
    turn(Number(slider.value));
  });
}

// -- notes and photographs --------------------------------------------------------------------------------------------

function forms() {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset.note) return;
    event.preventDefault();
    const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("text"));
    const text = field.value;
    if (!text.trim()) return;
    field.value = "";
    void keep({ engine, type: "note.written", body: { station: form.dataset.note, text }, words: `note at ${form.dataset.note}: ${text}` })
      .then(() => say("Noted."));
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field instanceof HTMLInputElement && field.form?.dataset.photo && field.files?.[0]) void photograph(field.form.dataset.photo, field);
  });
}

/** A photograph is kept on the device like a reading, until the server has it. @param {string} station @param {HTMLInputElement} field */
async function photograph(station, field) {
  const file = field.files?.[0];
  field.value = "";
  try {
    await keep({ engine, type: "photo.taken", body: { station }, words: `photograph at ${station}`, file });
    say("The photograph is kept on this device, and on its way.", 60000);
  } catch (error) {
    say(`The photograph was not kept: ${error instanceof Error ? error.message : error}`, 15000);
  }
}

onQueue(({ kind, row }) => {
  if (row?.entry.type !== "photo.taken" || row.engine !== engine) return;
  if (kind === "saved") say("The photograph is saved.");
  if (kind === "refused") say(`The photograph was refused: ${row.why}`, 15000);
});

listen();
crank();
forms();
mark(chosen());
follow(["#svg", "#panel"], () => { mark(chosen()); if (told) turn(angle); });
