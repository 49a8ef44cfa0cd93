// The piece of the drawing where the next reading is: the view that shows the station, its part marked.
// @ts-check

/** @type {Map<string, SVGSVGElement | null>} */
const views = new Map();

/** @param {string} engine @param {string} name @returns {Promise<SVGSVGElement | null>} */
async function view(engine, name) {
  if (views.has(name)) return views.get(name) ?? null;
  let svg = null;
  try {
    const answer = await fetch(`/e/${engine}/drawing.svg?view=${name}&width=640&height=480`);
    if (answer.ok) svg = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("svg");
  } catch { return null; }
  for (const each of svg?.querySelectorAll("[tabindex]") ?? []) { each.removeAttribute("tabindex"); each.removeAttribute("role"); }
  views.set(name, svg);
  return svg;
}

/** The station that a slot belongs to: main.3 for main.3.shell.upper. @param {string} address @param {SVGSVGElement} svg */
function groupOf(address, svg) {
  for (let each = address; each; each = each.slice(0, Math.max(each.lastIndexOf("."), 0))) {
    const found = svg.querySelector(`[data-station="${CSS.escape(each)}"]`);
    if (found instanceof SVGGraphicsElement) return found;
  }
  return null;
}

/**
 * @param {string} engine @param {string} station @param {HTMLElement} into
 * @param {() => boolean} wanted whether the person is still there when the drawing comes
 */
export async function showPiece(engine, station, into, wanted) {
  for (const name of ["side", "end", "plan"]) {
    const svg = await view(engine, name);
    if (!wanted()) return;
    const group = svg && groupOf(station, svg);
    if (!svg || !group) continue;
    for (const each of svg.querySelectorAll(".here")) each.classList.remove("here");
    group.classList.add("here");
    if (svg.parentElement !== into) into.replaceChildren(svg);
    return;
  }
  into.replaceChildren();
}
