/* What the day's picture holds, put in its place. Only text is ever set, so a name in a schedule
   cannot become markup; and what has not changed is left alone, so focus and typed text stay. */
import { wall } from "./clock.js";

/** What is to be heeded at once, and its name before what was said. */
export const HEED = { warning: "Warning", reminder: "Reminder", question: "Question", caution: "Take care" };

export const $ = (id) => document.getElementById(id);

export function text(node, words) {
  if (node.textContent !== words) node.textContent = words;
}

export const put = (id, words) => text($(id), words);

function made(tag, className = "", words = "") {
  const node = document.createElement(tag);
  if (className) node.className = className;
  node.textContent = words;
  return node;
}

const parts = (node, ...children) => (node.append(...children), node);

/** Give each item a key of its own: a name that comes twice is told apart by its turn. */
function keysOf(items, keyOf) {
  const seen = new Map();
  return items.map((item) => {
    const key = String(keyOf(item));
    seen.set(key, (seen.get(key) ?? 0) + 1);
    return `${seen.get(key)} ${key}`;
  });
}

/** Make `parent`'s children those of `items`, in order; what stays keeps its node. */
function fill(parent, items, keyOf, make, update) {
  const old = new Map([...parent.children].map((node) => [node.dataset.key, node]));
  const keys = keysOf(items, keyOf);
  for (const [key, node] of old) if (!keys.includes(key)) node.remove();
  items.forEach((item, index) => {
    const node = old.get(keys[index]) ?? make(item);
    node.dataset.key = keys[index];
    update?.(node, item);
    if (parent.children[index] !== node) parent.insertBefore(node, parent.children[index] ?? null);
  });
  parent.hidden = items.length === 0;
}

/** Show a picture; `send(word)` and `sendFigure(name, input)` take what is touched and typed. */
export function show(picture, send, sendFigure) {
  const focused = document.activeElement;
  const by = { takes: picture.takes_words, send, sendFigure };
  put("beer", picture.beer);
  put("place", picture.place);
  put("day", `Day ${picture.day}`);
  showStages(picture.stages);
  put("headline-label", picture.headline.label);
  fill($("next"), picture.next, (next) => `${next.what} ${next.at}`, (next) => parts(made("li"),
    made("span", "left"), made("span", "what", next.what), made("span", "at")));
  $("next-part").hidden = picture.next.length === 0;
  showWanted(picture, by);
  showSaid(picture);
  showState(picture);
  showSaying(picture, by);
  if (focused === document.activeElement || focused === document.body) return;
  (focused.isConnected ? focused : $("main")).focus({ preventScroll: true });
}

function showStages(stages) {
  const make = (stage) => parts(made("li"), made("span", "name", stage.name), made("span", "unseen"));
  fill($("stages"), stages, (stage) => stage.name, make, (node, stage) => {
    node.className = stage.when.replace(" ", "-");
    text(node.lastChild, `, ${stage.when}`);
    if (stage.when === "now") node.setAttribute("aria-current", "step");
    else node.removeAttribute("aria-current");
  });
}

/** A word to touch, or the word alone where the day takes none. */
function sayable(word, by, className = "") {
  const node = made(by.takes ? "button" : "p", className);
  if (by.takes) {
    node.type = "button";
    node.addEventListener("click", () => by.send(word));
  }
  return node;
}

function showWords(parent, words, by) {
  const make = (word) => parts(sayable(word, by), word);
  fill(parent, words, (word) => `${by.takes} ${word}`, make);
}

function showWanted({ question, advice, asks, tasks }, by) {
  $("wanted").hidden = !(question || advice || asks.length || tasks.length);
  $("question").hidden = !question;
  put("question-text", question?.text ?? "");
  showWords($("answers"), question?.answers ?? [], by);
  $("advice").hidden = !advice;
  put("finding", advice?.finding ?? "");
  const options = [...(advice?.options ?? [])].sort((a, b) => Number(b.advised) - Number(a.advised));
  const make = (option) => parts(sayable(option.say, by), made("span", "tag"), " ",
    made("q", "word", option.say), " ", made("span", "phrase"), made("span", "effect"));
  fill($("options"), options, (option) => `${by.takes} ${option.say}`, make, (node, option) => {
    node.className = option.advised ? "option advised" : "option";
    text(node.querySelector(".tag"), option.advised ? "Advised" : "");
    text(node.querySelector(".phrase"), option.phrase);
    text(node.querySelector(".effect"), option.effect);
  });
  fill($("asks"), asks, (ask) => `${by.takes} ${ask.name} ${ask.unit}`, (ask) => askForm(ask, by),
    (node, ask) => text(node.firstChild, ask.words));
  fill($("tasks"), tasks, (task) => task.id, () => made("li"), (node, task) => text(node, task.words));
}

function askForm(ask, by) {
  if (!by.takes) return parts(made("div"), made("p", "call", ask.words));
  const input = document.createElement("input");
  const id = `ask-${ask.name.replaceAll(" ", "-")}`;
  Object.assign(input, { id, inputMode: "decimal", enterKeyHint: "send", autocomplete: "off" });
  const unit = Object.assign(made("span", "unit", ask.unit), { id: `${id}-unit` });
  input.setAttribute("aria-describedby", unit.id);
  const label = Object.assign(made("label", "call", ask.words), { htmlFor: id });
  const button = made("button", "", "Take");
  button.setAttribute("aria-label", `Take ${ask.name}`);
  const form = parts(made("form"), label, input, unit, button);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    by.sendFigure(ask.name, input);
  });
  return form;
}

function showSaid(picture) {
  const make = (said) => parts(made("li", HEED[said.why] ? "loud" : ""), made("span", "tag"),
    made("q", "", said.text));
  fill($("said"), picture.said.slice(-4).reverse(), (said) => said.id, make, (node, said) => {
    const then = wall(said.at);
    text(node.firstChild, HEED[said.why] ? `${HEED[said.why]}, ${then}` : then);
  });
  const heard = picture.heard.slice(-2).reverse();
  fill($("heard"), heard, (one) => one.id, (one) => parts(made("li"), made("q", "", one.text)));
  $("heard-part").hidden = heard.length === 0;
}

function showState({ target, last, troubles, record, planned, likely }) {
  const one = !target || !last || target.what === last.what;
  put("warmth-title", one ? (target ?? last)?.what ?? "Readings" : "Wanted and read");
  $("target").hidden = !target;
  put("target-what", one ? "Wanted" : `${target.what}, wanted`);
  put("target-wanted", target?.wanted ?? "");
  put("target-when", target?.when ?? "");
  $("last").hidden = !last;
  put("last-what", one ? "Read" : `${last.what}, read`);
  put("last-shown", last?.shown ?? "");
  $("none-read").hidden = Boolean(last);
  const itself = (words) => words;
  fill($("planned"), planned, itself, (figure) => made("span", "", figure));
  fill($("likely"), likely, itself, (figure) => made("span", "", figure));
  const wrong = record ? [record, ...troubles] : troubles;
  fill($("troubles"), wrong, itself, (words) => made("li", "trouble", words));
}

function showSaying({ buttons, readings, takes_words }, by) {
  $("takes-none").hidden = takes_words;
  $("saying").hidden = !takes_words;
  showWords($("buttons"), buttons, by);
  $("reading-form").hidden = readings.length === 0;
  fill($("quantity"), readings, (reading) => reading.name, (reading) => new Option(reading.name),
    (node, reading) => (node.dataset.unit = reading.unit));
  showUnit();
}

export function showUnit() {
  put("unit", $("quantity").selectedOptions[0]?.dataset.unit ?? "");
}
