// Parts of a page taken anew from the server, which makes all pages; what is open or in the hand is left as it is.
// @ts-check

const PATIENCE = 10000; // ms; a line that only seems open would keep the page waiting for minutes

/**
 * Takes a page and puts parts of it into this one.
 * @param {string} url
 * @param {string[]} parts selectors that stand in both
 * @returns {Promise<Document | null>} null when the line is broken
 */
export async function swap(url, parts) {
  let text;
  try {
    const response = await fetch(url, { headers: { Accept: "text/html" }, signal: AbortSignal.timeout(PATIENCE) });
    if (!response.ok) return null;
    text = await response.text();
  } catch {
    return null;
  }
  const fresh = new DOMParser().parseFromString(text, "text/html");
  for (const part of parts) put(part, fresh);
  return fresh;
}

/** @param {string} part @param {Document} fresh */
function put(part, fresh) {
  const [old, made] = [document.querySelector(part), fresh.querySelector(part)];
  if (!old || !made || old.innerHTML === made.innerHTML) return;
  const held = document.activeElement;
  if (held instanceof HTMLInputElement && old.contains(held) && held.value) return;
  const openNow = Array.from(old.querySelectorAll("details"), (each) => each.open);
  const openById = new Map(Array.from(old.querySelectorAll("details[id]"), (each) => [each.id, /** @type {HTMLDetailsElement} */ (each).open]));
  const focus = held && old.contains(held) ? held.id || held.getAttribute("data-station") : "";
  old.replaceChildren(...made.childNodes);
  for (const { name, value } of Array.from(made.attributes)) old.setAttribute(name, value);
  old.querySelectorAll("details").forEach((each, i) => { each.open = openById.get(each.id) ?? (each.id ? undefined : openNow[i]) ?? each.open; });
  for (const each of old.querySelectorAll(".needs-script")) if (each instanceof HTMLElement) each.hidden = false;  // else nothing in it takes the focus
  const again = focus ? old.querySelector(`[id="${CSS.escape(focus)}"], [data-station="${CSS.escape(focus)}"]`) : null;
  if (again instanceof HTMLElement || again instanceof SVGElement) again.focus();
}
