// Work after changes that others make: soon after the first, then seldom while they go on, so that a shop that types all
// day neither waits for a pause to see anything nor has every page asked for at every reading.
// @ts-check

import { devices } from "./live.js";

const SOON = 100; // ms
const SPREAD = 20; // ms more for each device that listens, by chance: not all of a shop ask in the same moment
const REST = 3000; // ms at least from the end of one to the beginning of the next
const SHARE = 0.5; // times what the server took, for each device that listens: then they keep it at work half of the time
const LONGEST = 60000;

/**
 * @param {() => Promise<boolean>} work says whether it went well; else it is tried again by itself
 * @returns {() => void} to be called at every change
 */
export function calmly(work) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let waiting;
  let restUntil = 0;
  let failures = 0;
  const run = async () => {
    const begin = performance.now();
    waiting = undefined;
    const well = await work().catch(() => false);
    failures = well ? 0 : Math.min(failures + 1, 10);
    const now = performance.now();
    restUntil = now + Math.min(LONGEST, Math.max(REST * 2 ** failures, SHARE * devices * (now - begin)));
    if (!well) later();
  };
  const later = () => {
    waiting ??= setTimeout(() => void run(), Math.max(SOON + SPREAD * devices * Math.random(), restUntil - performance.now()));
  };
  return later;
}
