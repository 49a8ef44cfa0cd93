// The pull: how far it is, sliders that the curves follow, and what is kept to compare.
// @ts-check

import { engine, seen } from "./bench.js";
import { byId, say } from "./dom.js";
import { lines } from "./lines.js";
import { drawn } from "./plot.js";
import { keep } from "./queue.js";

const CURVES = ["torque", "power", "filling", "peak"]; // in the order of the plots

/** Shows how far the first pull is, and the page when it is done. */
async function firstPull() {
  const place = document.getElementById("pulling");
  if (!place) return;
  const bar = /** @type {HTMLProgressElement} */ (place.querySelector("progress"));
  const words = /** @type {HTMLElement} */ (place.querySelector(".read"));
  const stop = new AbortController();
  place.querySelector("[data-stop]")?.addEventListener("click", () => stop.abort());
  let wrong = "";
  try {
    await lines(place.dataset.run ?? "", stop.signal, (line) => {
      if (line.wrong) wrong = line.wrong;
      if (!line.of) return;
      bar.max = line.of;
      bar.value = line.done;
      words.textContent = `${line.done} of ${line.of} speeds`;
    });
    if (wrong) words.textContent = wrong;
    else location.reload();
  } catch (error) {
    words.textContent = stop.signal.aborted ? "Stopped." : `It did not come: ${error instanceof Error ? error.message : error}.`;
  }
}

// -- sliders ----------------------------------------------------------------------------------------------------------------

/** @type {AbortController | undefined} */
let running;
let waiting = false;

/** @returns {HTMLInputElement[]} */
function sliders() {
  return Array.from(document.querySelectorAll("input[data-slider]"), (field) => /** @type {HTMLInputElement} */ (field));
}

/** What the sliders were moved to, as texts. */
function moved() {
  /** @type {Record<string, string>} */
  const sizes = {};
  for (const field of sliders()) {
    const far = Math.abs(Number(field.value) - Number(field.dataset.is));
    if (far > Number(field.step) / 2) sizes[field.dataset.slider ?? ""] = `${Number(Number(field.value).toPrecision(4))} ${field.dataset.unit}`.trim();
  }
  return sizes;
}

/** What is tried: what the form says, and the sliders before it. */
function tried() {
  const form = /** @type {HTMLFormElement | null} */ (document.getElementById("what-if"));
  /** @type {Record<string, string>} */
  const sizes = {};
  for (const [name, text] of form ? new FormData(form) : []) if (name !== "variant" && String(text).trim()) sizes[name] = String(text).trim();
  return { ...sizes, ...moved() };
}

/** @param {Record<string, any[]>} rows */
async function show(rows) {
  await Promise.all(CURVES.map((name, number) => {
    const view = drawn.get(number);
    return view?.data("tried", rows[name]).runAsync();
  }));
}

/** Pulls for what the sliders say; while one runs, the next waits for where the finger is then. */
async function follow() {
  if (running) { waiting = true; return; }
  const form = byId("sliders");
  const sizes = tried();
  const line = byId("tried");
  if (!Object.keys(sizes).length) {
    line.textContent = "";
    await show({ torque: [], power: [], filling: [], peak: [] });
    return;
  }
  const asked = new URLSearchParams({ ...sizes, speeds: "7" });
  if (form.dataset.variant) asked.set("variant", form.dataset.variant);
  running = new AbortController();
  try {
    await lines(`${form.dataset.run}?${asked}`, running.signal, (told) => {
      if (told.wrong) line.textContent = told.wrong;
      if (!told.rows) return;
      const { torque, torque_at, power, power_at } = told.best;
      line.textContent = `As tried: ${torque.text} at ${torque_at.text}, ${power.text} at ${power_at.text}${told.settled ? "" : "; not all speeds settled"}.`;
      void show(told.rows);
    });
  } catch (error) {
    say(`It did not come: ${error instanceof Error ? error.message : error}.`);
  }
  running = undefined;
  if (waiting) {
    waiting = false;
    await follow();
  }
}

/** @param {HTMLInputElement} field */
function tell(field) {
  const output = field.closest("label")?.querySelector("output");
  if (output) output.textContent = `${Number(Number(field.value).toPrecision(4))} ${field.dataset.unit}`;
}

document.addEventListener("input", (event) => {
  if (!(event.target instanceof HTMLInputElement) || !event.target.dataset.slider) return;
  tell(event.target);
  void follow();
});

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  if (!button) return;
  if ("asIs" in button.dataset) {
    for (const field of sliders()) {
      field.value = field.dataset.is ?? "";
      tell(field);
    }
    void follow();
  } else if (button.dataset.forget) {
    button.disabled = true;
    if (byId("sliders").dataset.variant === button.dataset.forget) history.replaceState(null, "", location.pathname); // nothing is left to show of it
    const body = { variant: button.dataset.forget, sizes: {} };
    void keep({ engine, type: "variant.kept", body, words: `variant ${body.variant} taken away`, seen: seen() });
  }
});

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.id !== "keep") return;
  event.preventDefault();
  const line = /** @type {HTMLElement} */ (form.querySelector(".read"));
  const sizes = tried();
  if (!Object.keys(sizes).length) {
    line.textContent = "Nothing is tried yet: move a slider, or type a size.";
    return;
  }
  const data = new FormData(form);
  const body = { variant: String(data.get("variant")).trim(), sizes, words: String(data.get("words")).trim() };
  await keep({ engine, type: "variant.kept", body, words: `variant ${body.variant}`, seen: seen() });
  line.textContent = "kept";
});

document.addEventListener("renewed", () => void firstPull());
await firstPull();
