// The record: find in the log, strike, follow what others write.
// @ts-check

import { follow } from "./bench.js";
import { byId } from "./dom.js";

const field = /** @type {HTMLInputElement} */ (byId("find"));

function find() {
  const wanted = field.value.trim().toLowerCase();
  for (const row of byId("log").children) {
    if (row instanceof HTMLElement) row.hidden = wanted !== "" && !(row.textContent ?? "").toLowerCase().includes(wanted);
  }
}

field.addEventListener("input", find);
follow(["#log"], find);
