// How warm it is: a note of the temperature log from the tray. Kept on the device like a reading, sent when the line is there.
// @ts-check

import { engine } from "./bench.js";
import { byId } from "./dom.js";
import { keep } from "./queue.js";

const form = /** @type {HTMLFormElement} */ (byId("warm"));
const where = /** @type {HTMLSelectElement} */ (byId("warm-where"));
const text = /** @type {HTMLInputElement} */ (byId("warm-text"));

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const typed = text.value.trim();
  if (!typed) return;
  const place = where.value;
  text.value = "";
  await keep({ engine, type: "temperature.noted", body: { where: place, text: typed }, words: `${place} at ${typed}` });
  byId("warm-said").textContent = `${place} at ${typed}: readings without a temperature take it from now on.`;
});
