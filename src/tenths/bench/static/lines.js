// Answers that come line by line, telling how far they are before they are there.
// @ts-check

/**
 * Asks; what comes line by line is handed on.
 * @param {string} url @param {AbortSignal} signal @param {(line: any) => void} told
 */
export async function lines(url, signal, told) {
  const answer = await fetch(url, { signal });
  if (!answer.ok || !answer.body) throw new Error(`the server answered ${answer.status}`);
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const whole = (rest + value).split("\n");
    rest = whole.pop() ?? "";
    for (const line of whole) told(JSON.parse(line));
  }
}
