// The result of a study: a person takes it into the record of the gauge, with the numbers they saw.
// @ts-check

import "./bench.js";
import { pageData, question, say } from "./dom.js";
import { onChanged } from "./live.js";
import { keep, onQueue } from "./queue.js";

const SHOP = "shop";
const data = pageData("data");

/** The body as the log takes it, without what is empty. @param {Record<string, unknown>} body */
const plain = (body) => Object.fromEntries(Object.entries(body).filter(([, value]) => value !== "" && value !== null));

async function accept() {
  const offer = data.offer;
  const found = [offer.repeatability && `repeatability ${offer.repeatability}`, offer.reproducibility && `reproducibility ${offer.reproducibility}`,
    ...(offer.points ?? []).map((/** @type {any} */ p) => `error ${p.error} at ${p.size}`)].filter(Boolean).join(", ");
  const agreed = await question({ title: `Into the record of ${data.instrument}`, words: `${found}.`, yes: "Take it over" });
  if (agreed === null) return;
  await keep({ engine: SHOP, type: "study.accepted", body: plain(offer), words: `took over study ${data.study}`, seen: data.position });
}

document.getElementById("accept")?.addEventListener("click", () => void accept());

onQueue((event) => {
  if (event.row?.entry.type !== "study.accepted") return;
  if (event.kind === "saved") location.reload();
  if (event.kind === "refused") say(`Refused: ${event.row.why}`, 15000);
});

onChanged((changed) => {
  if ((changed.engines[SHOP] ?? 0) > data.position) say("The shop's log has grown since this page was made. Look again.", 15000);
});
