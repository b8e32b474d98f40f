/* What is touched and typed, on its way to the day, and what came of it. */
import { $, put } from "./picture.js";

const SHOWN_MS = 6000;
const PATIENCE_MS = 8000;
const AGAIN_MS = 600;
const under_way = new Set();
let clearing = 0;
let touchedAt = -Infinity;

function tell(words, stays = false) {
  put("outcome", words);
  $("outcome").classList.toggle("stays", stays);
  clearTimeout(clearing);
  if (!stays) clearing = setTimeout(() => put("outcome", ""), SHOWN_MS);
}

/** True once the day has taken the words in. A second touch while they are on their way counts as one. */
export async function post(words, lost) {
  if (lost) {
    tell(`Not sent, as there is no connection: “${words}”`, true);
    return false;
  }
  if (under_way.has(words)) return false;
  under_way.add(words);
  try {
    const answer = await fetch("./say", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ say: words }),
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    const reason = answer.ok ? "" : (await answer.text()).slice(0, 300);
    tell(answer.ok ? `Sent: “${words}”` : `Not taken, “${words}”: ${reason || answer.status}`, !answer.ok);
    return answer.ok;
  } catch (fault) {
    tell(fault.name === "TimeoutError" ? `No answer, so it may not have arrived: “${words}”`
      : `Not sent, as the day does not answer: “${words}”`, true);
    return false;
  } finally {
    under_way.delete(words);
  }
}

/** Send words that were touched. Wet fingers touch twice, a key held down more often, and by then
    another word may lie where that one was: so each touch soon after another counts for nothing. */
export function touch(words, lost) {
  const again = performance.now() - touchedAt < AGAIN_MS;
  touchedAt = performance.now();
  if (!again) post(words, lost);
}

/** Send `words`, and empty the field they stood in if they were taken in and nothing else stands there. */
async function postFrom(input, words, lost) {
  const typed = input.value;
  if ((await post(words, lost)) && input.value === typed) input.value = "";
}

export function postField(input, lost) {
  const words = input.value.trim();
  if (words) postFrom(input, words, lost);
}

/** Send a reading as it would be said. Some keys for figures have only a comma. */
export function postFigure(name, input, lost) {
  const figure = input.value.trim().replace(",", ".");
  if (/^[-−]?\d+(\.\d+)?$/.test(figure)) postFrom(input, `${name} ${figure.replace("−", "-")}`, lost);
  else tell(`A number is wanted for ${name}, such as 66.5${figure ? `, not “${figure}”` : ""}`, true);
}
