// Fits, out or odd, told by ear and by hand, so that nobody has to look up from the part.
// @ts-check

/** @typedef {"fits" | "out" | "odd" | "kept"} Told */

/** @type {Record<Told, {notes: [number, number, number][], buzz: number[]}>} pitch [Hz], begin [s], length [s] */
const TOLD = {
  fits: { notes: [[880, 0, 0.07]], buzz: [30] },
  kept: { notes: [[587, 0, 0.04]], buzz: [15] },
  odd: { notes: [[440, 0, 0.09], [370, 0.12, 0.14]], buzz: [60, 60, 60] },
  out: { notes: [[220, 0, 0.16], [220, 0.24, 0.16]], buzz: [160, 80, 160] },
};
/** @type {AudioContext | null} */
let context = null;

export const muted = () => { try { return localStorage.getItem("tenths-mute") === "yes"; } catch { return false; } };

/** @param {boolean} yes */
export function mute(yes) {
  try { localStorage.setItem("tenths-mute", yes ? "yes" : "no"); } catch { /* holds for nothing then */ }
}

/** @param {Told} told */
export function tell(told) {
  if (muted()) return;
  navigator.vibrate?.(TOLD[told].buzz);
  try {
    context ??= new AudioContext();
    const begin = context.currentTime;
    for (const [pitch, at, length] of TOLD[told].notes) note(context, pitch, begin + at, length);
  } catch { /* no sound here */ }
}

/** @param {AudioContext} sound @param {number} pitch @param {number} at @param {number} length */
function note(sound, pitch, at, length) {
  const tone = sound.createOscillator();
  const loud = sound.createGain();
  tone.frequency.value = pitch;
  loud.gain.setValueAtTime(0, at);
  loud.gain.linearRampToValueAtTime(0.2, at + 0.008);
  loud.gain.linearRampToValueAtTime(0, at + length);
  tone.connect(loud).connect(sound.destination);
  tone.start(at);
  tone.stop(at + length + 0.02);
}
