// The exact slider-crank, and the drawing turned by it: each moving group says how it moves and where it stands at 0.
// @ts-check

const RAD = Math.PI / 180;
const CYCLE = 720;

/** @typedef {{stroke: number, rod: number, offset: number}} Throw crank and rod, all in one unit of length */

/** The sine of the rod's lean from the bore's axis. @param {number} angle of the crank after its top [rad] @param {Throw} t */
export const leanSine = (angle, t) => (t.stroke / 2 * Math.sin(angle) + t.offset) / t.rod;

/** Height of the piston pin over the crank's line, along the bore. @param {number} angle of the crank after its top [rad] @param {Throw} t */
export const pinHeight = (angle, t) => t.stroke / 2 * Math.cos(angle) + t.rod * Math.sqrt(1 - leanSine(angle, t) ** 2);

/** How far the piston stands below its highest. @param {number} angle of the crank after its top [rad] @param {Throw} t */
export const pistonDepth = (angle, t) => Math.sqrt((t.rod + t.stroke / 2) ** 2 - t.offset ** 2) - pinHeight(angle, t);

/** Part of the full lift that a usual cam gives. @param {number} angle from the greatest lift [deg of the crank] @param {number} open duration [deg of the crank] */
export function usualLift(angle, open) {
  const off = Math.abs(inCycle(angle));
  return off < open / 2 ? Math.cos(Math.PI * off / open) ** 2 : 0;
}

/** An angle within -360 and 360, half a cycle either way. @param {number} angle [deg] */
export const inCycle = (angle) => ((angle + 360) % CYCLE + CYCLE) % CYCLE - 360;

/** Least and greatest height of a sector with its tip. @param {number} radius @param {number} middle from straight up [rad] @param {number} half [rad] */
function sector(radius, middle, half) {
  const [low, high] = [middle - half, middle + half];
  const heights = [0, radius * Math.cos(low), radius * Math.cos(high)];
  for (let k = Math.ceil(low / Math.PI); k * Math.PI <= high; k++) heights.push(radius * Math.cos(k * Math.PI));
  return [Math.min(...heights), Math.max(...heights)];
}

/** How far a lobe reaches towards its follower, and away. @param {number} base @param {number} tip @param {number} angle of its tip from the follower [deg] */
function reach(base, tip, angle) {
  const part = Math.abs(((angle + 180) % 360 + 360) % 360 - 180) / 180;
  return [part, 1 - part].map((each) => base + (tip - base) * Math.max(0, 1 - each / 0.38));
}

/** The crank and rod of a drawing, in its own units. @param {SVGSVGElement} svg @returns {Throw & {sense: number}} */
export function throwOf(svg) {
  const of = (/** @type {string} */ name) => Number(svg.dataset[name]);
  const scale = of("scale");
  return { stroke: of("stroke") * scale, rod: of("rod") * scale, offset: of("offset") * scale, sense: of("sense") };
}

/** @typedef {{crank: number, phase: number, t: Throw & {sense: number}, of: (name: string) => number, group: SVGGElement}} Where */
const put = (/** @type {number} */ x, /** @type {number} */ y) => `translate(${x.toFixed(2)} ${y.toFixed(2)})`;
const lifted = (/** @type {Where} */ { crank, phase, of }) => of("lift") * usualLift(phase + crank, of("open"));

/** How each kind of group moves: its transform, or null where it sets itself. @type {Record<string, (where: Where) => string | null>} */
const WAYS = {
  pin: ({ crank, phase, t }) => put(0, -t.stroke / 2 * Math.cos((phase + crank) * RAD)),
  orbit({ crank, phase, t, of }) {
    const a = (phase + t.sense * crank) * RAD;
    return put(of("radius") * Math.sin(a), -of("radius") * Math.cos(a));
  },
  spin: ({ crank, phase, t }) => `rotate(${(phase + t.sense * crank).toFixed(3)})`,
  piston({ crank, phase, t, of, group }) {
    const [h, a] = [pinHeight((phase + crank) * RAD, t), of("lean") * RAD];
    return `${put(h * Math.sin(a), -h * Math.cos(a))} ${group.dataset.tail ?? ""}`.trim();
  },
  rod({ crank, phase, t, of }) {
    const a = (phase + crank) * RAD;
    return `${put(0, -pinHeight(a, t) * of("way"))} scale(1 ${(Math.sqrt(1 - leanSine(a, t) ** 2) * of("way")).toFixed(5)})`;
  },
  swing({ crank, phase, t, of }) {
    const a = (phase + crank) * RAD;
    const lean = -t.sense * Math.asin(leanSine(a, t)) / RAD;
    return `${of("lean") ? `rotate(${of("lean")}) ` : ""}${put(-t.sense * t.offset, -pinHeight(a, t))} rotate(${lean.toFixed(4)})`;
  },
  between({ crank, phase, t, of }) {
    const [a, b, part] = [(phase + crank) * RAD, of("lean") * RAD, of("part")];
    const [h, side, r] = [pinHeight(a, t), -t.sense * t.offset, t.stroke / 2];
    const [x, y] = [side + part * (t.sense * r * Math.sin(a) - side), h + part * (r * Math.cos(a) - h)];
    return put(x * Math.cos(b) + y * Math.sin(b), x * Math.sin(b) - y * Math.cos(b));
  },
  valve: (where) => put(0, lifted(where)),
  spring: (where) => `${put(where.of("x"), where.of("y"))} scale(1 ${(1 - lifted(where) / where.of("length")).toFixed(5)})`,
  lifter: (where) => put(0, lifted(where)),
  lobe: ({ crank, phase, t, of }) => `${put(of("x"), of("y"))} rotate(${(of("towards") + t.sense * (phase + crank) / 2).toFixed(2)})`,
  "lobe-side"({ crank, phase, of, group }) {
    const [towards, away] = reach(of("base"), of("tip"), (phase + crank) / 2);
    const [up, down] = of("down") ? [away, towards] : [towards, away];
    return edges(group, of("y") - up, of("y") + down);
  },
  cheek({ crank, t, of, group }) {
    const heights = (group.dataset.phases ?? "").split(" ").map((each) => t.stroke / 2 * Math.cos((Number(each) + crank) * RAD));
    const ends = [...heights.flatMap((h) => [h - of("half"), h + of("half")]), ...(of("hub") ? [of("hub"), -of("hub")] : [])];
    return edges(group, -Math.max(...ends), -Math.min(...ends));
  },
  counterweight({ crank, phase, of, group }) {
    const [low, high] = sector(of("radius"), (phase + crank) * RAD + Math.PI, of("half"));
    return edges(group, -high, -low);
  },
};

/** Upper and lower edge of the one rectangle of a group. @param {SVGGElement} group @param {number} top @param {number} bottom */
function edges(group, top, bottom) {
  const rect = group.querySelector("rect");
  rect?.setAttribute("y", top.toFixed(2));
  rect?.setAttribute("height", (bottom - top).toFixed(2));
  return null;
}

/** Turns the crank of a drawing. @param {SVGSVGElement} svg @param {number} crank the way it turns [deg] */
export function turnTo(svg, crank) {
  const t = throwOf(svg);
  for (const group of /** @type {NodeListOf<SVGGElement>} */ (svg.querySelectorAll("[data-move]"))) {
    const of = (/** @type {string} */ name) => Number(group.dataset[name] ?? 0);
    const transform = WAYS[group.dataset.move ?? ""]?.({ crank, phase: of("phase"), t, of, group });
    if (transform) group.setAttribute("transform", transform);
  }
  svg.dataset.crank = String(crank);
}
