// The oil film: how far the map over the use is, and the page with it when it is done.
// @ts-check

import { lines } from "./lines.js";
import { drawPlots } from "./plot.js";
import { swap } from "./swap.js";

/** @type {AbortController | undefined} */
let running;

/** Asks for what the page still waits for, shows how far it is, and takes the page anew. @param {HTMLElement} place */
async function reckon(place) {
  const bar = /** @type {HTMLProgressElement} */ (place.querySelector("progress"));
  const words = /** @type {HTMLElement} */ (place.querySelector(".read"));
  running = new AbortController();
  let there = "";
  try {
    await lines(place.dataset.run ?? "", running.signal, (line) => {
      if (line.wrong) words.textContent = line.wrong;
      if (line.there) there = line.there;
      if (!line.of) return;
      bar.max = line.of;
      bar.value = line.done;
      words.textContent = `${line.done} of ${line.of} bearings: ${line.words}`;
    });
  } catch (error) {
    words.textContent = running.signal.aborted ? "Stopped." : `It did not come: ${error instanceof Error ? error.message : error}.`;
  }
  running = undefined;
  if (!there) return;
  if (!await swap(location.href, ["#plots"])) { location.reload(); return; }
  void drawPlots();
  const next = document.getElementById("mapping");
  if (next && next.dataset.run !== place.dataset.run) void reckon(next); // films first, then the map
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
