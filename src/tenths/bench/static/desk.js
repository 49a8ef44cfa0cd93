// Plain forms: sent as JSON, what is wrong shown at its field, the page taken anew after saving. Without an answer of the
// server nothing is lost: what was typed stays in the form and on this device, and the form says that it was not saved.
// @ts-check

import { showNeeds } from "./bench.js";
import { calmly } from "./calm.js";
import { Answer, ask, byId, say } from "./dom.js";
import { nextId } from "./ids.js";
import { onChanged } from "./live.js";
import { swap } from "./swap.js";

/** @typedef {Record<string, string | string[]>} Kept */

const engine = document.body.dataset.engine ?? "";
/** What was typed on this page, by form; a page that is taken anew gets it back. @type {Map<string, Kept>} */
const drafts = new Map();
/** A posting has one word for all its tries: the server writes it once. @type {Map<string, string>} */
const words = new Map();
/** @type {Set<() => void>} */
const renewed = new Set();

/** Called after the page was taken anew. @param {() => void} listener */
export const onRenewed = (listener) => { renewed.add(listener); };

/** @param {HTMLFormElement} form */
const place = (form) => `tenths-desk ${location.pathname} ${form.id}`;

/** What stands in the fields that a person fills in. @param {HTMLFormElement} form @returns {Kept} */
function typed(form) {
  /** @type {Kept} */
  const found = {};
  for (const each of form.elements) {
    if (each instanceof HTMLInputElement && each.type === "checkbox") {
      if (!each.closest("fieldset[data-field]")) { if (each.checked) found[each.name] = "yes"; continue; }
      const list = /** @type {string[]} */ (found[each.name] ??= []);
      if (each.checked) list.push(each.value);
    } else if ((each instanceof HTMLInputElement && each.type !== "hidden") || each instanceof HTMLSelectElement || each instanceof HTMLTextAreaElement) {
      if (each.name) found[each.name] = each.value;
    }
  }
  return found;
}

/** @param {HTMLFormElement} form @param {Kept} kept */
function putBack(form, kept) {
  for (const each of form.elements) {
    if (each instanceof HTMLInputElement && each.type === "checkbox") {
      const value = kept[each.name];
      each.checked = Array.isArray(value) ? value.includes(each.value) : value === "yes";
    } else if (((each instanceof HTMLInputElement && each.type !== "hidden") || each instanceof HTMLSelectElement || each instanceof HTMLTextAreaElement)
      && typeof kept[each.name] === "string") {
      each.value = /** @type {string} */ (kept[each.name]);
    }
  }
}

/** The body of the call. @param {HTMLFormElement} form */
function body(form) {
  /** @type {Record<string, unknown>} */
  const made = { ...typed(form) };
  for (const each of form.elements) {
    if (!(each instanceof HTMLInputElement)) continue;
    if (each.type === "checkbox" && !each.closest("fieldset[data-field]")) made[each.name] = each.checked;
    if (each.type === "hidden" && each.name !== "back") made[each.name] = each.name === "seen" ? Number(each.value) : each.value;
  }
  const word = words.get(form.id) ?? nextId();
  words.set(form.id, word);
  return { ...made, once: word };
}

/** @param {HTMLFormElement} form @param {string} text @param {string} [at] the field that it is about */
function wrong(form, text, at = "") {
  for (const each of form.querySelectorAll(".at-field, .wrong")) if (each instanceof HTMLElement) each.hidden = true;
  for (const each of form.querySelectorAll("[aria-invalid]")) { each.removeAttribute("aria-invalid"); each.removeAttribute("aria-describedby"); }
  if (!text) return;
  const field = at ? form.querySelector(`[data-field="${CSS.escape(at)}"]`) : null;
  const place_ = field?.querySelector(".at-field") ?? form.querySelector(".wrong");
  if (!(place_ instanceof HTMLElement)) { say(text, 15000); return; }
  place_.textContent = text;
  place_.hidden = false;
  const input = field?.querySelector("input, select, textarea");
  if (!(input instanceof HTMLElement)) return;
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-describedby", place_.id);
  input.focus();
}

/** The field that a sentence begins with. @param {HTMLFormElement} form @param {string} text */
function fieldOf(form, text) {
  const head = text.split(":")[0]?.trim() ?? "";
  const found = form.querySelector(`[data-field="${CSS.escape(head)}"]`) ?? [...form.querySelectorAll("[data-also]")].find(
    (each) => each instanceof HTMLElement && (each.dataset.also ?? "").split("|").includes(head));
  return found instanceof HTMLElement ? found.dataset.field ?? "" : "";
}

/** @param {HTMLFormElement} form */
async function send(form) {
  const button = form.querySelector("button");
  if (button?.disabled) return;
  const said = form.querySelector(".desk-said");
  const tell = (/** @type {string} */ text) => { if (said) said.textContent = text; };
  wrong(form, "");
  tell("Saving");
  if (button) button.disabled = true;
  try {
    const saved = await ask(form.dataset.desk ?? "", { body: body(form) });
    forget(form);
    tell("");
    say(`Saved: ${saved.entries.map((/** @type {any} */ e) => e.sentence).join("; ")}`);
    form.reset();
    await renew(true);
  } catch (error) {
    tell("");
    if (error instanceof Answer) refused(form, error);
    else unsaved(form);
  } finally {
    if (button) button.disabled = false;
  }
}

/** The server said no: the next try is another posting. @param {HTMLFormElement} form @param {Answer} error */
function refused(form, error) {
  words.delete(form.id);
  keepHere(form);
  if (error.status === 401) wrong(form, "Not saved: nobody is signed in. What you typed is kept on this device.");
  else wrong(form, error.message, fieldOf(form, error.message));
}

/** @param {HTMLFormElement} form */
function unsaved(form) {
  keepHere(form);
  wrong(form, "Not saved: the server does not answer. What you typed is kept on this device; press again when the line is back, and it is written once.");
}

/** @param {HTMLFormElement} form */
function keepHere(form) {
  if (form.classList.contains("press")) return;
  try { localStorage.setItem(place(form), JSON.stringify({ kept: typed(form), word: words.get(form.id) ?? "" })); } catch { /* it stays in the form */ }
}

/** @param {HTMLFormElement} form */
function forget(form) {
  drafts.delete(form.id);
  words.delete(form.id);
  try { localStorage.removeItem(place(form)); } catch { /* nothing was kept */ }
}

/** Takes the page anew. @param {boolean} [own] after a deed of this page */
async function renew(own = false) {
  if (!own && document.activeElement?.closest("form[data-desk]")) return true; // a person is at it
  const held = document.activeElement?.id ?? "";
  const fresh = await swap(location.href, ["#main"]);
  if (!fresh) return false;
  document.body.dataset.position = fresh.body.dataset.position ?? "";
  begin();
  showNeeds();
  for (const listener of renewed) listener();
  if (own) (document.getElementById(held) ?? byId("main")).focus({ preventScroll: true });
  return true;
}

/** Gives forms back what was typed into them. */
function begin() {
  for (const form of document.querySelectorAll("form[data-desk]")) {
    if (!(form instanceof HTMLFormElement)) continue;
    const draft = drafts.get(form.id) ?? stored(form);
    if (!draft) continue;
    putBack(form, draft);
    const fold = form.closest("details");
    if (fold) fold.open = true;
  }
}

/** What was typed here and never saved. @param {HTMLFormElement} form @returns {Kept | null} */
function stored(form) {
  let text;
  try { text = localStorage.getItem(place(form)); } catch { return null; }
  if (!text) return null;
  wrong(form, "Typed here before, and not saved yet.");
  const { kept, word } = JSON.parse(text);
  if (word) words.set(form.id, word); // it may have been written all the same: pressed again, it is written once
  return kept;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.dataset.desk) return;
  event.preventDefault();
  void send(form);
});
document.addEventListener("input", (event) => {
  const form = event.target instanceof Element ? event.target.closest("form[data-desk]") : null;
  if (form instanceof HTMLFormElement) { drafts.set(form.id, typed(form)); words.delete(form.id); }
});
const later = calmly(() => renew());
onChanged((changed) => { if (!engine || engine in changed.engines || "shop" in changed.engines) later(); });
begin();
