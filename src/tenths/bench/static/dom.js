// Small helpers that every page uses: finding and making elements, asking the server, saying something in passing.
// @ts-check

/**
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`there is no #${id} on this page`);
  return found;
}

/**
 * An element with attributes and children; texts are never read as markup.
 * @param {string} name
 * @param {Record<string, string | boolean | EventListener>} [attributes] functions are listened with: ``click`` and so on
 * @param {...(Node | string)} children
 * @returns {HTMLElement}
 */
export function make(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(key, value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false) made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
}

/**
 * The data that a page carries for its script.
 * @param {string} id
 */
export function pageData(id) {
  return JSON.parse(byId(id).textContent ?? "null");
}

/** An answer of the server that is no good answer, with its status. */
export class Answer extends Error {
  /** @param {number} status @param {string} what */
  constructor(status, what) {
    super(what);
    this.status = status;
  }
}

/**
 * JSON from the server.
 * @param {string} url
 * @param {{body?: unknown, form?: FormData, patience?: number}} [how] a body or form makes it a posting; patience in ms
 * @returns {Promise<any>}
 * @throws {Answer} when the server says no; TypeError or a DOMException when there is no line
 */
export async function ask(url, { body, form, patience = 20000 } = {}) {
  const response = await fetch(url, {
    method: body === undefined && !form ? "GET" : "POST",
    headers: body === undefined ? {} : { "Content-Type": "application/json" },
    body: form ?? (body === undefined ? undefined : JSON.stringify(body)),
    cache: "no-store",
    signal: AbortSignal.timeout(patience),
  });
  if (!response.ok) throw new Answer(response.status, await reason(response));
  return response.json();
}

/** @param {Response} response */
async function reason(response) {
  try {
    const told = await response.json();
    return String(told.error ?? told.detail ?? response.statusText);
  } catch {
    return response.statusText || `the server answered ${response.status}`;
  }
}

/**
 * Words at the foot of the page for a few seconds.
 * @param {string} words
 * @param {number} [milliseconds]
 */
export function say(words, milliseconds = 6000) {
  document.querySelector(".notice")?.remove();
  const notice = make("div", { class: "notice", role: "status" }, words);
  document.body.append(notice);
  setTimeout(() => notice.remove(), milliseconds);
}

/**
 * A dialog that asks for words; resolves to null when it is left.
 * @param {{title: string, words: string, label?: string, yes: string, danger?: boolean, ready?: string[]}} what
 *   with a label a text is asked for, with the ready ones to pick from
 * @returns {Promise<string | null>}
 */
export function question({ title, words, label, yes, danger = false, ready = [] }) {
  return new Promise((resolve) => {
    const field = /** @type {HTMLInputElement} */ (make("input", { autocomplete: "off", required: label !== undefined }));
    const picks = ready.map((text) => make("button", { type: "button", click: () => { field.value = text; field.focus(); } }, text));
    const form = make("form", { method: "dialog" },
      make("h2", { id: "q-title" }, title), make("p", {}, words),
      ...(label === undefined ? [] : [make("p", { class: "row" }, ...picks), make("p", {}, make("label", {}, label, field))]),
      make("div", { class: "row end" },
        make("button", { type: "button", click: () => dialog.close("") }, "Leave it"),
        make("button", { class: danger ? "danger" : "first", value: "yes" }, yes)));
    const dialog = /** @type {HTMLDialogElement} */ (make("dialog", { "aria-labelledby": "q-title" }, form));
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue === "yes" ? field.value.trim() : null);
    });
    document.body.append(dialog);
    dialog.showModal();
    (label === undefined ? form.querySelector("button") : field)?.focus();
  });
}
