// The walk along the tray: which readings are left, which place is next, what was typed on the way.
// @ts-check

import { doneAt, forget } from "./queue.js";

/**
 * @typedef {{station: string, station_words: string, feature: string, words: string, place: string, how: string,
 *   sketch: string, instrument_kind: string, instrument: string, unit: string, expected: number | null,
 *   expected_text: string, last_text: string, signed: boolean, why: string, deviation_from: string}} Reading
 */

/** A place of an engine under which what was read is remembered. @param {string} engine @param {Reading} row */
export const keyOf = (engine, row) => [engine, row.station, row.feature, row.place].join("|");

/** @param {Reading} a @param {Reading} b */
export const together = (a, b) => a.station === b.station && a.feature === b.feature;

export class Walk {
  /** @param {string} engine @param {Reading[]} readings @param {number} position of the log that they were asked at */
  constructor(engine, readings, position) {
    this.engine = engine;
    this.readings = readings;
    this.position = position;
    this.at = 0;
    this.deeds = 0; // readings taken or taken back on this visit
    /** @type {Map<string, string[]>} texts typed at a place on this visit or before its page was made anew */
    this.typed = new Map();
  }

  /** Leaves out what this device has read since the page was made; forgets what the page knows already. */
  async recall() { this.leaveOut(await this.readSince(this.position)); }

  /** What this device read that a page of that position does not know; the rest is forgotten. @param {number} position */
  async readSince(position) {
    const done = await doneAt(this.engine);
    const known = done.filter((each) => each.position !== null && each.position <= position);
    await forget(known);
    return done.filter((each) => !known.includes(each));
  }

  /** @param {import("./queue.js").Done[]} newer */
  leaveOut(newer) {
    for (const each of newer) this.typed.set(each.place, [each.text]);
    this.readings = this.readings.filter((row) => !this.typed.has(keyOf(this.engine, row)));
  }

  get now() { return this.readings[this.at]; }

  get left() { return this.readings.filter((row, i) => i >= this.at && !this.typedAt(row).length).length; }

  /** @param {Reading} row @returns {string[]} */
  typedAt(row) { return this.typed.get(keyOf(this.engine, row)) ?? []; }

  /** Readings of the same feature at the same station. */
  get group() { return this.now ? this.readings.filter((row) => together(row, this.now)) : []; }

  /** @param {Reading} row @param {string} text */
  took(row, text) { this.deeds += 1; this.typed.set(keyOf(this.engine, row), [...this.typedAt(row), text]); }

  /** @param {string} key of what was refused or struck */
  untook(key) { this.deeds += 1; this.typed.delete(key); }

  /** To the next place that was not read on this walk. */
  next() {
    do this.at += 1; while (this.now && this.typedAt(this.now).length);
    if (!this.now) this.at = Math.max(this.readings.findIndex((row) => !this.typedAt(row).length), -1);
    if (this.at < 0) this.at = this.readings.length;
  }

  back() { this.at = Math.max(0, this.at - 1); }

  /** @param {Reading} row */
  go(row) { this.at = Math.max(0, this.readings.indexOf(row)); }

  /** Puts a reading that a person asked for before all others. @param {Reading[]} rows */
  ask(rows) {
    this.readings = [...rows, ...this.readings.filter((row) => !rows.some((r) => r.place === row.place && together(r, row)))];
    this.at = 0;
  }

  /**
   * Takes the readings as the server has them now; stays where the person is. Nothing changes here while it is waited for,
   * and nothing at all when the person has begun to type or taken a reading meanwhile.
   * @param {Reading[]} readings @param {number} position @param {() => boolean} idle whether nothing stands in the field
   * @returns {Promise<boolean>} whether they were taken
   */
  async renew(readings, position, idle) {
    const deeds = this.deeds;
    const newer = await this.readSince(position);
    if (!idle() || deeds !== this.deeds) return false;
    const here = this.now;
    const before = this.group; // also what others read meanwhile: the gauge is in the hand
    this.position = position;
    const typed = this.typed;
    this.readings = readings;
    this.typed = new Map();
    this.leaveOut(newer);
    for (const key of before.map((row) => keyOf(this.engine, row))) if (typed.has(key)) this.typed.set(key, typed.get(key) ?? []);
    const kept = before.filter((row) => !this.readings.some((r) => r.place === row.place && together(r, row)));
    const start = here ? this.readings.findIndex((row) => together(row, here)) : 0;
    this.readings.splice(Math.max(start, 0), 0, ...kept);
    const same = here ? this.readings.findIndex((row) => row.place === here.place && together(row, here)) : 0;
    this.at = same >= 0 ? same : Math.min(Math.max(start, 0), this.readings.length);
    return true;
  }
}
