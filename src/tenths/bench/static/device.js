// What this device is called: in the log, and for a gauge that is to type into it. A paired device has its name from its
// pairing, which the server knows; this one is for all others.
// @ts-check

const KEY = "tenths-device";

/** @returns {string} */
export function deviceName() {
  try {
    let name = localStorage.getItem(KEY);
    if (!name) {
      name = `device ${Array.from(crypto.getRandomValues(new Uint8Array(2)), (b) => b.toString(16).padStart(2, "0")).join("")}`;
      localStorage.setItem(KEY, name);
    }
    return name;
  } catch {
    return "a browser";
  }
}

/** @param {string} name left as it was when empty */
export function nameDevice(name) {
  try {
    if (name.trim()) localStorage.setItem(KEY, name.trim().slice(0, 60));
  } catch { /* this browser keeps nothing */ }
}
