// Numbers as people type them, read on the page exactly as engine/written.py and engine/quantity.py read them.
// One table of cases (data/typed_numbers.json) holds both together; a change here is a change there.
// @ts-check

import { COMPOUND, DISPLAY, EXAMPLES, FINE, QUANTITIES, REFUSED, UNITS } from "./units.js";

/**
 * @typedef {import("./units.js").Unit} Unit
 * @typedef {{mantissa: bigint, exponent: number, fraction: boolean, mark: string}} Num
 * @typedef {{text: string, quantity: string, value: string, unit: string, step: string, deviation: boolean,
 *   si: number, stepSi: number}} Typed  value and step in plain digits in the unit; si and stepSi in its SI unit
 */

const LONGEST = 80;
const LARGEST_EXPONENT = 30;
const DENOMINATORS = new Set([2n, 4n, 8n, 16n, 32n, 64n, 128n, 10n, 100n, 1000n, 10000n]);

/** @type {Map<string, string>} */
const SAME = new Map();
/** @param {Iterable<string>} signs @param {string} as */
const alike = (signs, as) => { for (const sign of signs) SAME.set(sign, as); };
/** @param {number} first @param {number} last @returns {string[]} */
const range = (first, last) => Array.from({ length: last - first + 1 }, (_, i) => String.fromCodePoint(first + i));
alike("\t\n\r\u00a0\u202f\u205f\u3000", " ");
alike(range(0x2000, 0x200a), " ");
alike("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff", "");
alike("\u2212\u2010\u2011\u2012\u2013\u2014\ufe63", "-");
alike("\u2044\u2215", "/");
alike("\u2032\u2019\u2018\u00b4\u0060", "'");
alike("\u2033\u201d\u201c\u02dd", '"');
alike("\u00ba\u02da", "°");
alike("\u22c5\u2022\u2219*", "·");
alike("\u03bc", "µ");
for (const sign of range(0xff01, 0xff5e)) SAME.set(sign, String.fromCodePoint((sign.codePointAt(0) ?? 0) - 0xfee0));
for (const [sign, text] of Object.entries({ "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" })) {
  SAME.set(sign, ` ${text}`);
}

const NO_NUMBER = /^(?:infinity|inf|nan|∞)(?![a-z])/;
const FRACTION = /^(?:([0-9]+)[ -])?([0-9]+) ?\/ ?([0-9]+)/;
const TWO_LINES = /^\/ ?[0-9]/;
const DECIMAL = /^([0-9][0-9.,]*|[.,][0-9][0-9.,]*)(?:[eE]([+-]?[0-9]+))?/;
const COMMA_GROUPS = /^[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?$/;
const DOT_GROUP = /^[1-9][0-9]{0,2}\.[0-9]{3},[0-9]+$/;
const TWOFOLD = /^[1-9][0-9]{0,2}[.,][0-9]{3}$/;
const ONE_MARK = /^[0-9]*[.,]?[0-9]*$/;
const PAIR = /^([A-Za-z]+\.?|[°'"]) *([0-9.,][^]*)$/;
const BARE_DEGREES = /^([0-9]+) +([0-9.,]+ *'[^]*)$/;
const TO_ONE = /^([^]*[0-9]) ?: ?1$/;
const MORE = /^(?:[0-9.,]|[+-] ?[0-9.,])/;
const SEPARATED = / ?[-·.] ?(?=[a-zµ])/g;

/** A number that cannot be taken: the message names the field, what was typed, what is wrong and what is taken. */
export class BadInput extends Error {}

class Unread extends Error {
  /** @param {string} wrong @param {string | null} [take] null: the usual examples */
  constructor(wrong, take = null) {
    super(wrong);
    this.take = take;
  }
}

/** @param {string} text */
const lower = (text) => text.replace(/[A-Z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + 32));

/** @param {string} text @param {string} signs @returns {string} the text without those signs at its end */
function stripEnd(text, signs) {
  let end = text.length;
  while (end > 0 && signs.includes(text[end - 1])) end -= 1;
  return text.slice(0, end);
}

/** The key of a unit as typed; see `unit_key` in engine/units.py. @param {string} text */
function unitKey(text) {
  const low = lower(text);
  return "-·.".includes(low[0]) && low ? low : stripEnd(low.replace(/ ?\/ ?/g, "/").replace(SEPARATED, " "), ".");
}

/** @type {Map<string, Unit>} */
const BY_KEY = new Map();
/** @type {Set<string>} */
const ALL_KEYS = new Set();
for (const unit of UNITS) {
  for (const key of [unitKey(unit.name), ...unit.aliases]) {
    BY_KEY.set(`${unit.quantity}|${key}`, unit);
    ALL_KEYS.add(key);
  }
}
/** @param {string} quantity @param {string} key */
const unitAt = (quantity, key) => BY_KEY.get(`${quantity}|${key}`);
/** @param {string} quantity */
const namesOf = (quantity) => UNITS.filter((unit) => unit.quantity === quantity && unit.name).map((unit) => unit.name);

/** @param {string} text with look-alikes made alike */
function plain(text) {
  const mapped = Array.from(text, (sign) => SAME.get(sign) ?? sign).join("").replaceAll("''", '"');
  return mapped.replace(/ +/g, " ").replace(/^ | $/g, "");
}

/** The text as a message quotes it. @param {string} text */
function shown(text) {
  const signs = Array.from(text);
  const visible = signs.slice(0, 40).map((sign) => {
    const code = sign.codePointAt(0) ?? 0;
    return hidden(code) ? `\\u{${code.toString(16)}}` : sign;
  });
  return `“${visible.join("")}${signs.length > 40 ? "…" : ""}”`;
}

/** @param {number} code */
function hidden(code) {
  return code < 0x20 || (code >= 0x7f && code <= 0x9f) || (code >= 0x200b && code <= 0x200f) || code === 0xfeff
    || (code >= 0x2028 && code <= 0x202e) || (code >= 0x2060 && code <= 0x2069) || (code >= 0xd800 && code <= 0xdfff);
}

/** @param {string} text @param {string} quantity @param {Unit} fallback */
function takeApart(text, quantity, fallback) {
  if (text.length > 2 * LONGEST || Array.from(text).length > LONGEST) throw new Unread(`is longer than ${LONGEST} signs`);
  const body = plain(text);
  if (!body) throw new Unread("is empty");
  const sign = "+-".includes(body[0]) ? body[0] : "";
  const rest = body.slice(sign.length).replace(/^ +/, "");
  if (NO_NUMBER.test(lower(rest))) throw new Unread("is no finite number");
  const terms = termsOf(spelledOut(rest, quantity), quantity, fallback);
  return { sign, number: joined(terms), unit: terms[terms.length - 1].unit };
}

/** @param {string} body @param {string} quantity */
function spelledOut(body, quantity) {
  const ratio = quantity === "ratio" ? TO_ONE.exec(body) : null;
  if (ratio) return ratio[1];
  const bare = quantity === "angle" ? BARE_DEGREES.exec(body) : null;
  return bare ? `${bare[1]}°${bare[2]}` : body;
}

/** @param {string} text @param {string} quantity @param {Unit} fallback @returns {{number: Num, unit: Unit}[]} */
function termsOf(text, quantity, fallback) {
  /** @type {{number: Num, unit: Unit}[]} */
  const terms = [];
  let body = text;
  for (;;) {
    const { number, rest } = numberAt(body);
    const pair = PAIR.exec(rest);
    const first = pair ? unitAt(quantity, unitKey(pair[1])) : undefined;
    if (!pair || !first || ALL_KEYS.has(unitKey(rest))) {
      if (!rest && terms.length) throw new Unread("has a last number without a unit");
      const unit = rest ? unitTyped(rest, quantity) : fallback;
      return [...terms, { number: decided(number, unit), unit }];
    }
    terms.push({ number, unit: first });
    body = pair[2];
  }
}

/** @param {string} typed @param {string} quantity @returns {Unit} */
function unitTyped(typed, quantity) {
  const key = unitKey(typed);
  const refused = REFUSED[`${quantity}|${typed}`] ?? REFUSED[`${quantity}|${key}`];
  if (refused) throw new Unread(`cannot be read for sure: ${refused}`, "");
  const unit = unitAt(quantity, key);
  if (unit) return unit;
  if (typed[0] === "/") throw new Unread("has a fraction that cannot be read");
  if (MORE.test(typed)) throw new Unread("has more than one number");
  const taken = namesOf(quantity);
  const take = taken.length ? `units taken here are ${taken.join(", ")}` : "a plain whole number is taken";
  const other = QUANTITIES.find((each) => unitAt(each, key));
  if (other) throw new Unread(`has a unit of ${other} where one of ${quantity} belongs`, take);
  throw new Unread(`has a unit that is not known, ${shown(typed)}`, take);
}

/** @param {string} body @returns {{number: Num, rest: string}} */
function numberAt(body) {
  const fraction = FRACTION.exec(body);
  if (fraction) {
    const rest = body.slice(fraction[0].length).replace(/^ +/, "");
    if (TWO_LINES.test(rest)) throw new Unread("has more than one fraction line");
    return { number: fractionOf(fraction[1], BigInt(fraction[2]), BigInt(fraction[3])), rest };
  }
  const decimal = DECIMAL.exec(body);
  if (!decimal) {
    const begin = Array.from(body)[0] ?? "";
    throw new Unread(`has ${shown(begin)} where a number should begin`);
  }
  return { number: decimalOf(decimal[1], decimal[2] ?? "0"), rest: body.slice(decimal[0].length).replace(/^ +/, "") };
}

/** @param {string | undefined} whole @param {bigint} top @param {bigint} bottom @returns {Num} */
function fractionOf(whole, top, bottom) {
  if (bottom === 0n) throw new Unread("divides by zero");
  if (!DENOMINATORS.has(bottom)) {
    throw new Unread(`has ${shown(String(bottom))} under the fraction line`,
      "fractions are taken in halves, 4ths, 8ths, 16ths, 32nds, 64ths, 128ths and tens");
  }
  if (whole && top >= bottom) throw new Unread("has a fraction that is not less than one beside a whole number");
  let mantissa = BigInt(whole || "0") * 10n ** 7n + top * (10n ** 7n / bottom);
  let exponent = -7;
  while (exponent < 0 && mantissa % 10n === 0n) {
    mantissa /= 10n;
    exponent += 1;
  }
  return { mantissa, exponent, fraction: true, mark: "" };
}

/** @param {string} typed @param {string} power @returns {Num} */
function decimalOf(typed, power) {
  if (power.length > 4 || Math.abs(Number(power)) > LARGEST_EXPONENT) {
    throw new Unread("has a power of ten that is out of all bounds",
      `powers from e-${LARGEST_EXPONENT} to e${LARGEST_EXPONENT} are taken`);
  }
  const [whole, part = ""] = onePoint(typed).split(".");
  const mark = TWOFOLD.test(typed) ? (typed.includes(".") ? "." : ",") : "";
  return { mantissa: BigInt(whole + part || "0"), exponent: Number(power) - part.length, fraction: false, mark };
}

/** The digits with a point as the only mark. @param {string} typed */
function onePoint(typed) {
  if (typed.endsWith(",")) throw new Unread("ends in a comma");
  if (ONE_MARK.test(typed)) return typed.replace(",", ".");
  if (COMMA_GROUPS.test(typed)) return typed.replaceAll(",", "");
  if (DOT_GROUP.test(typed)) return typed.replace(".", "").replace(",", ".");
  if (typed.split(".").length > 2) throw new Unread("has more than one decimal point");
  throw new Unread("has commas that neither group thousands nor mark decimals");
}

/** The number with its comma decided by the unit beside it. @param {Num} number @param {Unit} unit @returns {Num} */
function decided(number, unit) {
  const { mark, exponent } = number;
  if (!mark || (mark === "." && unit.comma !== "thousands") || (mark === "," && unit.comma === "decimal")) return number;
  if (mark === "," && unit.comma === "thousands") return { ...number, exponent: exponent + 3, mark: "" };
  const [small, large] = [amount(number), amount({ ...number, exponent: exponent + 3 })];
  throw new Unread(`could be ${small} or ${large}${unit.name ? " " : ""}${unit.name}`, `type ${small} or ${large}`);
}

/** One number in the last unit. @param {{number: Num, unit: Unit}[]} terms @returns {Num} */
function joined(terms) {
  const last = terms[terms.length - 1].number;
  if (terms.length === 1) return last;
  let total = 0n;
  terms.slice(0, -1).forEach(({ number, unit }, i) => {
    const { number: following, unit: smaller } = terms[i + 1];
    const parts = COMPOUND[`${unit.name}|${smaller.name}`];
    if (parts === undefined) throw new Unread("has more than one number");
    if (number.exponent || number.mark || number.fraction) throw new Unread(`has a part in ${unit.name} that is not whole`);
    if (following.mantissa * tens(following.exponent) >= BigInt(parts) * tens(-following.exponent)) {
      throw new Unread(`has ${parts} ${smaller.name} or more beside ${unit.name}`);
    }
    total = (total + number.mantissa) * BigInt(parts);
  });
  const shift = Math.max(-last.exponent, 0);
  return { ...last, mantissa: last.mantissa * tens(last.exponent) + total * tens(shift), exponent: -shift };
}

/** Ten to a power, 1 for negative ones. @param {number} power */
const tens = (power) => 10n ** BigInt(Math.max(power, 0));

/** The number in plain digits, without trailing zeros behind the point. @param {Num} number */
function amount({ mantissa, exponent }) {
  if (exponent >= 0) return String(mantissa * tens(exponent));
  const digits = String(mantissa).padStart(1 - exponent, "0");
  return stripEnd(stripEnd(`${digits.slice(0, exponent)}.${digits.slice(exponent)}`, "0"), ".");
}

/** A ratio of whole numbers as the nearest double, half to even. @param {bigint} top @param {bigint} bottom */
function nearest(top, bottom) {
  if (top === 0n) return 0;
  const size = top < 0n ? -top : top;
  const shift = 66 - (size.toString(2).length - bottom.toString(2).length);
  const [up, down] = shift > 0 ? [size << BigInt(shift), bottom] : [size, bottom << BigInt(-shift)];
  const quotient = up / down | (up % down ? 1n : 0n);  // the last bit says that something is left over
  return (top < 0n ? -1 : 1) * Number(quotient) * 2 ** -shift;
}

/** The exact SI value, rounded once. @param {bigint} mantissa @param {number} exponent @param {Unit} unit @param {boolean} offset */
function toSi(mantissa, exponent, unit, offset) {
  const [offTop, offBottom] = offset ? unit.offset.map(BigInt) : [0n, 1n];
  const [top, bottom] = unit.factor.map(BigInt);
  return nearest((mantissa * tens(exponent) * offBottom + offTop * tens(-exponent)) * top, tens(-exponent) * offBottom * bottom);
}

/**
 * What a person typed, read exactly.
 * @param {string} text as typed
 * @param {string} quantity what belongs in the field, such as "length"
 * @param {{defaultUnit: string, allowDeviation?: boolean, field?: string}} options unit of a number typed without one;
 *   whether a typed sign makes it a deviation from a setting; the field as named in the message
 * @returns {Typed}
 * @throws {BadInput}
 */
export function parse(text, quantity, { defaultUnit, allowDeviation = false, field = "value" }) {
  const fallback = unitOf(quantity, defaultUnit);
  try {
    const { sign, number, unit } = takeApart(text, quantity, fallback);
    const minus = sign === "-" && number.mantissa > 0n;
    const exponent = number.exponent + (unit.partOf ? unit.partOf.shift : 0);
    const kept = unit.partOf ? unitOf(quantity, unit.partOf.unit) : unit;
    const si = toSi(minus ? -number.mantissa : number.mantissa, exponent, kept, true);
    if (quantity === "temperature" && si < 0) throw new Unread("is below absolute zero");
    if (quantity === "count" && (minus || amount(number).includes("."))) throw new Unread("is no whole number from 0 up");
    return {
      text, quantity, value: (minus ? "-" : "") + amount({ ...number, exponent }), unit: kept.name,
      step: number.fraction ? "0" : amount({ ...number, mantissa: 1n, exponent }),
      deviation: allowDeviation && sign !== "" && quantity !== "temperature",
      si, stepSi: number.fraction ? 0 : toSi(1n, exponent, kept, false),
    };
  } catch (error) {
    if (error instanceof Unread) throw new BadInput(sentence(text, quantity, field, error));
    throw error;
  }
}

/** @param {string} text @param {string} quantity @param {string} field @param {Unread} error */
function sentence(text, quantity, field, error) {
  const article = "aeiou".includes(quantity[0]) ? "an" : "a";
  const take = error.take ?? `${article} ${quantity} is typed as ${EXAMPLES[quantity]}`;
  return `${field}: ${shown(text)} ${error.message}${take ? "; " : ""}${take}`;
}

/** @param {string} quantity @param {string} name @returns {Unit} */
function unitOf(quantity, name) {
  const unit = unitAt(quantity, unitKey(name.replace(/^ +| +$/g, "").replaceAll("μ", "µ")));
  if (unit) return unit;
  throw new BadInput(`unit: “${name}” is no unit of ${quantity}; taken are ${namesOf(quantity).join(", ") || "none"}`);
}

/**
 * The unit in which the trade reads a quantity.
 * @param {string} quantity
 * @param {"inch" | "metric"} system
 * @param {boolean} [fine] for surface finish and the like
 */
export function unitFor(quantity, system, fine = false) {
  const pair = (fine && FINE[quantity]) || DISPLAY[quantity];
  return pair[system === "inch" ? 0 : 1];
}
