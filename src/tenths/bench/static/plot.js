// Plots: the script that draws them is loaded only here; it comes from this server and needs no line to anywhere else.
// @ts-check

import { follow } from "./bench.js";
import { pageData, say } from "./dom.js";

/** @type {Promise<any> | undefined} */
let drawer;

/** What is drawn, by its place on the page; a page may put other rows into a set of rows that has a name. @type {Map<number, any>} */
export const drawn = new Map();

/** The function that draws a specification. @returns {Promise<any>} */
function script() {
  drawer ??= new Promise((resolve, reject) => {
    const element = document.createElement("script");
    element.src = "/plots.js";
    element.addEventListener("load", () => resolve(/** @type {any} */ (globalThis).vegaEmbed));
    element.addEventListener("error", () => { drawer = undefined; reject(new Error("the script for plots did not come")); });
    document.head.append(element);
  });
  return drawer;
}

/** Draws every plot of the page; the numbers stand under it in any case. */
export async function drawPlots() {
  const places = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-plot]"));
  if (!places.length) return;
  try {
    const draw = await script();
    const specs = pageData("specs");
    // ast: expressions are walked through and not compiled, for the page allows no making of code
    await Promise.all(Array.from(places, async (place) => {
      const { view } = await draw(place, specs[Number(place.dataset.plot)], { actions: false, ast: true, renderer: "svg" });
      drawn.set(Number(place.dataset.plot), view);
      place.querySelector("svg")?.setAttribute("aria-hidden", "true"); // the figure says it, and the numbers stand below
    }));
  } catch (error) {
    say(`The plot could not be drawn: ${error instanceof Error ? error.message : error}.`);
  }
}

await drawPlots();
follow(["#plots"], () => {
  drawn.clear();
  void drawPlots();
  document.dispatchEvent(new Event("renewed")); // for scripts of a page that look after what stands there
});
