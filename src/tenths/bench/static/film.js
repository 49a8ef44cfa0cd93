// The oil film: how far the map over the use is, and the page with it when it is done.
// @ts-check

import { lines } from "./lines.js";
import { drawPlots } from "./plot.js";
import { swap } from "./swap.js";

/** @type {AbortController | undefined} */
let running;

/** Asks for the map and shows how far it is. @param {HTMLElement} place */
async function reckon(place) {
  const bar = /** @type {HTMLProgressElement} */ (place.querySelector("progress"));
  const words = /** @type {HTMLElement} */ (place.querySelector(".read"));
  running = new AbortController();
  bar.hidden = false;
  let wrong = "";
  try {
    await lines(place.dataset.run ?? "", running.signal, (line) => {
      if (line.wrong) wrong = line.wrong;
      if (!line.of) return;
      bar.max = line.of;
      bar.value = line.done;
      words.textContent = `${line.done} of ${line.of} bearings: ${line.words}`;
    });
    if (wrong) words.textContent = wrong;
    else if (await swap(location.href, ["#plots"])) void drawPlots();
    else location.reload();
  } catch (error) {
    words.textContent = running.signal.aborted ? "Stopped." : `It did not come: ${error instanceof Error ? error.message : error}.`;
  }
  running = undefined;
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-map], [data-stop]") : null;
  const place = button?.closest("#mapping");
  if (!(place instanceof HTMLElement)) return;
  if (button?.hasAttribute("data-stop")) running?.abort();
  else if (!running) void reckon(place);
});

const place = document.getElementById("mapping");
if (place) void reckon(place);
