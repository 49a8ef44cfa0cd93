// The piece of the drawing where the next reading is: the view that shows the station, drawn close, its part marked.
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
    close(svg, group);
    return;
  }
  into.replaceChildren();
}

/** @param {SVGSVGElement} svg @param {SVGGraphicsElement} group */
function close(svg, group) {
  const whole = { width: Number.parseFloat(svg.getAttribute("width") ?? "640"), height: Number.parseFloat(svg.getAttribute("height") ?? "480") };
  const box = (group.querySelector(".dr-hit") instanceof SVGGraphicsElement ? /** @type {SVGGraphicsElement} */ (group.querySelector(".dr-hit")) : group).getBBox();
  const width = Math.min(whole.width, Math.max(box.width * 3, whole.width * 0.42));
  const height = Math.min(whole.height, Math.max(box.height * 1.8, whole.height * 0.5));
  const inside = (/** @type {number} */ middle, /** @type {number} */ size, /** @type {number} */ all) => Math.min(Math.max(middle - size / 2, 0), all - size);
  svg.setAttribute("viewBox", [inside(box.x + box.width / 2, width, whole.width), inside(box.y + box.height / 2, height, whole.height), width, height].join(" "));
  svg.setAttribute("preserveAspectRatio", "xMidYMid slice");
}
