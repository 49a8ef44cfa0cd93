// The running engine: its plots, and what is entered there: joints, ticks of fasteners, outlines.
// @ts-check

import { engine, seen } from "./bench.js";
import { say } from "./dom.js";
import "./plot.js";
import { keep, onQueue } from "./queue.js";

const WORDS = /** @type {Record<string, (body: any) => string>} */ ({
  "joint.stated": (body) => `joint ${body.joint}`,
  "fastener.ticked": (body) => `${body.joint} ${body.number} at ${body.station} ${body.what}`,
  "size.stated": (body) => `${body.feature} of ${body.station}: ${body.text}`,
  "outline.drawn": (body) => `outline ${body.outline}`,
  "wheel.zeroed": (body) => `top dead centre of cylinder ${body.cylinder}`,
  "wheel.moved": () => "the wheel was moved",
  "lobe.read": (body) => `${(body.points ?? []).length} readings of ${body.station}`,
  "cam.carded": () => "the maker's card of the camshaft",
  "timing.moved": (body) => `timing set moved by ${body.advance}`,
  "flow.begun": (body) => `run ${body.run} of ${body.station}`,
  "flow.read": (body) => `${body.flow} at ${body.lift}, run ${body.run}`,
});

/** The body that a form means; fields left empty are left out. @param {HTMLFormElement} form */
function bodyOf(form) {
  /** @type {Record<string, unknown>} */
  const body = {};
  for (const field of form.querySelectorAll("input[name], select[name]")) {
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) continue;
    const text = field.value.trim();
    const kind = field.dataset.as;
    if (kind === "flag") { if (field instanceof HTMLInputElement && field.checked) body[field.name] = true; }
    else if (kind === "unflag") { if (field instanceof HTMLInputElement && field.checked) body[field.name] = false; }
    else if (!text) continue;
    else if (kind === "point") body.points = [...(/** @type {unknown[]} */ (body.points ?? [])), { angle: text, lift: field.dataset.lift ?? "" }];
    else if (kind === "points") body[field.name] = text.split(";").map((part) => part.split("=")).filter((pair) => pair.length === 2)
      .map(([angle, lift]) => ({ angle: angle.trim(), lift: lift.trim() }));
    else if (kind === "number") body[field.name] = Number(text);
    else if (kind === "numbers") body[field.name] = text.split(/[\s,;-]+/).map(Number);
    else if (kind === "texts") body[field.name] = text.split(",").map((part) => part.trim()).filter(Boolean);
    else body[field.name] = text;
  }
  return body;
}

/** @param {string} type @param {Record<string, unknown>} body */
async function enter(type, body) {
  await keep({ engine, type, body, words: WORDS[type](body), seen: seen() });
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.dataset.entry) return;
  event.preventDefault();
  const line = form.querySelector(".read");
  const body = bodyOf(form);
  if (Object.values(body).some((value) => typeof value === "number" && !Number.isInteger(value))) {
    if (line) line.textContent = "A whole number is wanted where a number is asked for.";
    return;
  }
  await enter(form.dataset.entry, body);
  if (line) line.textContent = "kept";
  const [first, ...others] = (form.dataset.again ?? "").split(" ").filter(Boolean).map((name) => form.elements.namedItem(name));
  for (const field of [first, ...others]) if (field instanceof HTMLInputElement) field.value = "";
  if (first instanceof HTMLInputElement) first.focus();  // the next of a row of entries
});

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-deed]") : null;
  if (!(button instanceof HTMLButtonElement)) return;
  button.disabled = true;
  const { joint, station, number, deed } = button.dataset;
  void enter("fastener.ticked", { joint, station, number: Number(number), what: deed });
});

onQueue((event) => {
  if (event.kind === "refused" && event.row?.engine === engine && event.row.entry.type in WORDS) say(`Refused: ${event.row.why}`, 15000);
});
