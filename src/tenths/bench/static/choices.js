// Accepting a choice: what changed since it was looked at is shown before it is confirmed, and the entry says what was seen.
// @ts-check

import { engine, sinceList } from "./bench.js";
import { calmly } from "./calm.js";
import { ask, make, question, say } from "./dom.js";
import { onChanged } from "./live.js";
import { keep, onQueue } from "./queue.js";

/** @param {HTMLElement} section @param {number} option */
async function accept(section, option) {
  const offers = JSON.parse(section.querySelector("script")?.textContent ?? "[]");
  const seen = Number(section.dataset.seen);
  const title = section.querySelector("h2")?.textContent ?? "";
  const since = await meanwhile(seen);
  if (since?.length) {
    showSince(section, since);
    const go = await question({ title: "The log has grown since you looked",
      words: `${since.length === 1 ? "One entry came" : `${since.length} entries came`} meanwhile, last: ${since[since.length - 1].sentence}. Accept what you saw all the same?`,
      yes: "Accept what I saw", danger: true });
    if (go === null) return;
  } else {
    const rests = section.querySelector("p.quiet")?.textContent ?? "";
    const go = await question({ title: `Accept: ${title}`, words: `${rests}${since === null ? " There is no line to ask whether anything changed since." : ""}`, yes: "Accept" });
    if (go === null) return;
  }
  await keep({ engine, type: "choice.accepted", schema: 2, body: plain(offers[option]), words: `accepted ${title}`, seen });
}

/** The body as the log takes it, without what is empty. @param {Record<string, unknown>} body */
function plain(body) {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== "" && value !== null));
}

/** What others wrote since; null when nobody can tell. @param {number} seen @returns {Promise<{sentence: string, person: string, at: string}[] | null>} */
async function meanwhile(seen) {
  try {
    return await ask(`/api/engines/${engine}/log?after=${seen}`, { patience: 5000 });
  } catch {
    return null;
  }
}

/** @param {HTMLElement} section @param {{sentence: string, person: string, at: string}[]} since */
function showSince(section, since) {
  section.querySelector(".since")?.remove();
  section.querySelector("h2")?.after(make("div", { class: "since", role: "status" },
    make("p", {}, "Since you looked at this:"), ...sinceList(since),
    make("button", { type: "button", click: () => location.reload() }, "Look again")));
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-accept]") : null;
  const section = button?.closest("section");
  if (button instanceof HTMLElement && section instanceof HTMLElement) void accept(section, Number(button.dataset.accept));
});

let position = 0;
const renew = calmly(async () => {
  const now = position;
  for (const section of document.querySelectorAll("section.choice")) {
    if (!(section instanceof HTMLElement) || Number(section.dataset.seen) >= now) continue;
    showSince(section, await meanwhile(Number(section.dataset.seen)) ?? []);
  }
  return true;
});
onChanged((changed) => {
  if (!(engine in changed.engines)) return;
  position = changed.engines[engine];
  renew();
});

onQueue((event) => {
  if (event.row?.engine !== engine || event.row.entry.type !== "choice.accepted") return;
  if (event.kind === "saved") location.reload();
  if (event.kind === "refused") say(`Refused: ${event.row.why}`, 15000);
});
