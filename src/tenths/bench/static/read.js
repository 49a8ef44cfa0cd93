// What is typed, read aloud: never clamped, never rewritten.
// @ts-check

import { BadInput, parse } from "./typed.js";
import { UNITS } from "./units.js";

/** The quantity that a unit of display belongs to. @param {string} unit */
export const quantityOf = (unit) => (unit === "" ? "ratio" : UNITS.find((each) => each.name === unit)?.quantity ?? "length");

/**
 * @param {string} text @param {string} unit of a number typed without one @param {boolean} [deviation] whether a sign makes it one
 * @returns {{words: string, wrong: string, si: number, deviation: boolean}}
 */
export function readAs(text, unit, deviation = false) {
  try {
    const typed = parse(text, quantityOf(unit), { defaultUnit: unit, allowDeviation: deviation, field: "typed" });
    const sign = typed.deviation && !typed.value.startsWith("-") ? "+" : "";
    return { words: `${sign}${typed.value} ${typed.unit}`.trim(), wrong: "", si: typed.si, deviation: typed.deviation };
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    return { words: "", wrong: error.message.replace(/^typed: /, ""), si: NaN, deviation: false };
  }
}

/** A size [SI] in a unit, with the decimals that a shop reads. @param {number} si @param {string} unit */
export function inUnit(si, unit) {
  const known = UNITS.find((each) => each.name === unit);
  if (!known) return `${si}`;
  const value = si / (Number(known.factor[0]) / Number(known.factor[1]));
  const places = /** @type {Record<string, number>} */ ({ in: 5, mm: 4, "µin": 0, "µm": 1 })[unit] ?? 2;
  return `${value.toFixed(places).replace(/(\.\d*?[1-9])0+$/, "$1").replace(/\.0+$/, "")} ${unit}`;
}
