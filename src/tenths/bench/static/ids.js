// Ids that the device makes for its entries: UUID version 7, section 5.7 of RFC 9562, as logbook/ids.py makes them.
// @ts-check

const LAST = 2 ** 48 - 1;

/**
 * @param {number} milliseconds Unix time by the device's clock, however wrong that is
 * @param {Uint8Array} random ten random bytes
 * @returns {string}
 */
export function newId(milliseconds, random) {
  const bytes = new Uint8Array(16);
  let left = Math.min(Math.max(Math.trunc(milliseconds) || 0, 0), LAST);
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = left % 256;
    left = Math.floor(left / 256);
  }
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const digits = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [digits.slice(0, 8), digits.slice(8, 12), digits.slice(12, 16), digits.slice(16, 20), digits.slice(20)].join("-");
}

/** A new id by this device's clock and randomness. */
export const nextId = () => newId(Date.now(), crypto.getRandomValues(new Uint8Array(10)));

/** The moment by this device's clock as entries carry it; a clock beyond what four figures of a year hold is cut. */
export function now() {
  const latest = Date.UTC(9999, 11, 31);
  return new Date(Math.min(Math.max(Date.now(), 0), latest)).toISOString();
}
