// The piece of the drawing where the next reading is: the view that shows the station, its part marked.
// @ts-check

/** @type {Map<string, SVGSVGElement | null>} */
const views = new Map();

/** @param {string} engine @param {string} name @param {number} width so that strokes of the close-up are as thin as elsewhere @returns {Promise<SVGSVGElement | null>} */
async function view(engine, name, width) {
  if (views.has(name)) return views.get(name) ?? null;
  let svg = null;
  try {
    const answer = await fetch(`/e/${engine}/drawing.svg?view=${name}&width=${width}&height=${0.75 * width}`);
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
 * The part of the drawing round a station: the station and as much about it as tells where that is.
 * @param {{x: number, y: number, width: number, height: number}} part in the drawing's units
 * @param {{width: number, height: number}} whole the drawing @param {number} shape width over height of the place to fill
 */
export function closeUp(part, whole, shape) {
  const least = 0.26 * Math.min(whole.width, whole.height * shape);
  const width = Math.min(Math.max(2.4 * part.width, 2.4 * part.height * shape, least), Math.max(whole.width, whole.height * shape));
  const height = width / shape;
  const within = (/** @type {number} */ middle, /** @type {number} */ size, /** @type {number} */ all) =>
    size >= all ? (all - size) / 2 : Math.min(Math.max(middle - size / 2, 0), all - size);
  return { x: within(part.x + part.width / 2, width, whole.width), y: within(part.y + part.height / 2, height, whole.height), width, height };
}

/** @param {SVGSVGElement} svg @param {SVGGraphicsElement} group @param {HTMLElement} into */
function zoom(svg, group, into) {
  const whole = { width: svg.width.baseVal.value, height: svg.height.baseVal.value };
  svg.setAttribute("viewBox", `0 0 ${whole.width} ${whole.height}`);
  const back = svg.getScreenCTM()?.inverse();
  const seen = (group.querySelector(".dr-hit") ?? group).getBoundingClientRect();
  if (!back || !into.clientWidth || !into.clientHeight) return;
  const corner = new DOMPoint(seen.x, seen.y).matrixTransform(back);
  const part = { x: corner.x, y: corner.y, width: seen.width * back.a, height: seen.height * back.d };
  const box = closeUp(part, whole, into.clientWidth / into.clientHeight);
  svg.setAttribute("viewBox", [box.x, box.y, box.width, box.height].map((each) => each.toFixed(1)).join(" "));
  svg.setAttribute("preserveAspectRatio", "xMidYMid slice");
  into.append(whereabouts(svg, whole, box));
}

/** The whole engine, small, with a frame round what the close-up shows. @param {SVGSVGElement} svg @param {{width: number, height: number}} whole @param {DOMRectInit} box */
function whereabouts(svg, whole, box) {
  const ns = "http://www.w3.org/2000/svg";
  const small = document.createElementNS(ns, "svg");
  small.setAttribute("class", "whole");
  small.setAttribute("viewBox", `0 0 ${whole.width} ${whole.height}`);
  const drawing = svg.querySelector(".dr-engine");
  if (drawing) drawing.id = "engine-drawn";
  for (const [name, values] of /** @type {[string, Record<string, string | number | undefined>][]} */ ([
    ["use", { href: "#engine-drawn" }], ["rect", { class: "frame", x: box.x, y: box.y, width: box.width, height: box.height }]])) {
    const each = document.createElementNS(ns, name);
    for (const [key, value] of Object.entries(values)) each.setAttribute(key, String(value));
    small.append(each);
  }
  return small;
}

/**
 * @param {string} engine @param {string} station @param {HTMLElement} into
 * @param {() => boolean} wanted whether the person is still there when the drawing comes
 */
export async function showPiece(engine, station, into, wanted) {
  const width = Math.min(Math.max(200 * Math.round(into.clientWidth / 70), 600), 1600);
  for (const name of ["side", "end", "plan"]) {
    const svg = await view(engine, name, width);
    if (!wanted()) return;
    const group = svg && groupOf(station, svg);
    if (!svg || !group) continue;
    for (const each of svg.querySelectorAll(".here")) each.classList.remove("here");
    group.classList.add("here");
    into.replaceChildren(svg);
    zoom(svg, group, into);
    return;
  }
  into.replaceChildren();
}
