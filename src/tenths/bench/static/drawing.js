// The drawing: stations are tapped or walked along with the arrow keys, the crank turns, photographs and notes are taken.
// @ts-check

import { engine, follow, showNeeds } from "./bench.js";
import { byId, say } from "./dom.js";
import { nextId, now } from "./ids.js";
import { keep } from "./queue.js";
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

let turning = false;
let wanted = 0;

async function turn() {
  if (turning) return;
  turning = true;
  let shown = NaN;
  while (shown !== wanted) {
    shown = wanted;
    try {
      const answer = await fetch(`/e/${engine}/drawing.svg?view=${view()}&crank=${shown}`);
      if (answer.ok) { byId("svg").innerHTML = await answer.text(); mark(chosen()); }
    } catch { break; }
  }
  turning = false;
}

function crank() {
  const slider = /** @type {HTMLInputElement} */ (byId("turn"));
  byId("crank").hidden = false;
  slider.addEventListener("input", () => {
    wanted = Number(slider.value);
    byId("angle").textContent = `${wanted}°`;
    void turn();
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

/** @param {string} station @param {HTMLInputElement} field */
async function photograph(station, field) {
  const form = new FormData();
  form.set("file", /** @type {File} */ (field.files?.[0]));
  form.set("station", station);
  form.set("id", nextId());
  form.set("at", now());
  say("Sending the photograph.", 60000);
  try {
    const response = await fetch(`/api/engines/${engine}/photos`, { method: "POST", body: form });
    const told = await response.json();
    say(response.ok && told.state === "saved" ? "The photograph is saved." : `Not taken: ${told.why ?? told.error}`);
    field.value = "";
    await swap(location.href, ["#panel"]);
    showNeeds(byId("panel"));
  } catch {
    say("No line to the server. The photograph was not taken; choose it again when the line is back.", 10000);
  }
}

listen();
crank();
forms();
mark(chosen());
follow(["#svg", "#panel"], () => mark(chosen()), () => wanted === 0);
