/* The board's page: listens to the day's server, keeps the countdown running and says when it can't. */
import { drawCourse } from "./chart.js";
import { countdown, elapsed, now, setClock, setWall, since, standing, wall } from "./clock.js";
import { $, HEED, put, show, showUnit, text } from "./picture.js";
import { postField, postFigure, touch } from "./sending.js";

const SILENT_MS = 5000; // a beat comes every 2 s
const SPOKEN_KEPT = 4;
const OLD_S = 60; // what was said longer ago than this is no news to a screen reader
const UNKNOWN = "--:--";

/** A moment by both clocks: the steady one of many devices stands still while they sleep. */
const moment = () => ({ steady: performance.now(), wall: Date.now() });
const passedMs = (since) => Math.max(performance.now() - since.steady, Date.now() - since.wall);

const opened = moment();
const told = new Set(); // ids of what a screen reader has heard
let picture = null;
let course = null;
let source = null;
let triedAt = opened;
let heardAt = null; // when the last event came
let broken = false; // the connection has failed since then
let vouched = true; // the connection there is has shown its day; until then it may be another's
let wasLost = false;
let fitted = "";

const lost = () => broken || passedMs(heardAt ?? opened) > SILENT_MS;

// The connection

function connect() {
  source?.close();
  triedAt = moment();
  source = new EventSource("./events");
  source.onopen = () => (vouched = picture === null);
  source.onerror = () => {
    broken = true;
    triedAt = performance.now();
    showTime();
  };
  const on = (name, take) => source.addEventListener(name, (event) => {
    vouched ||= name === "picture";
    if (!vouched) return;
    heardAt = moment();
    broken = false;
    take(JSON.parse(event.data));
    if (wasLost) showTime();
  });
  on("picture", takePicture);
  on("beat", (beat) => setClock(beat.at));
  on("course", (next) => {
    course = next;
    showCourse(true);
  });
  on("ear", showEar);
}

/** What is closed never comes back by itself, and what is silent may hang on a network that is gone. */
function mend() {
  if (!lost()) return;
  const tried = passedMs(triedAt);
  if (tried > SILENT_MS || (source.readyState === EventSource.CLOSED && tried > 900)) connect();
}

function takePicture(next) {
  const first = picture === null;
  picture = next;
  setClock(picture.at, picture.speed);
  setWall(picture);
  show(picture, (word) => touch(word, lost()), (name, input) => postFigure(name, input, lost()));
  announce(picture.said, first);
  showTime();
}

function showEar(ear) {
  $("ear").hidden = ear === null;
  if (ear === null) return;
  const percent = (share) => Math.round(Math.min(Math.max(share, 0), 1) * 100);
  $("level").setAttribute("aria-valuenow", percent(ear.level));
  $("level").setAttribute("aria-valuetext", ear.words);
  $("level-fill").style.width = `${percent(ear.level)}%`;
  $("level-floor").style.left = `${percent(ear.floor)}%`;
  put("ear-words", ear.words);
}

// What a screen reader hears

function speak(region, words) {
  const line = document.createElement("p");
  line.textContent = words;
  region.append(line);
  while (region.children.length > SPOKEN_KEPT) region.firstChild.remove();
}

/** Each thing said is told once; of what the page was not there for, or lost from, only the newest. */
function announce(said, first) {
  const fresh = said.filter((one) => !told.has(one.id));
  for (const one of fresh) told.add(one.id);
  const old = (one) => first || now() - one.at > OLD_S * (picture.speed || 1);
  for (const one of fresh.filter((one, index) => index === fresh.length - 1 || !old(one))) {
    speak($(HEED[one.why] ? "spoken-now" : "spoken"), one.text);
  }
}

// What passes by itself

function showTime() {
  const cut = lost();
  showConnection(cut);
  if (!picture) return;
  const { headline, last, next } = picture;
  document.body.classList.toggle("due", headline.due && !cut);
  const figures = figuresOf(headline, cut);
  put("figures", figures);
  $("window").hidden = figures === "";
  put("headline-when", headlineWhen(headline, cut));
  next.forEach((one, index) => {
    const node = $("next").children[index];
    node.classList.toggle("now", one.due && !cut);
    text(node.querySelector(".left"), figuresOf({ ...one, due_at: one.at }, cut));
    text(node.querySelector(".at"), one.left_s === null ? `${about(one)} ${wall(one.at)}` : "paused");
  });
  if (last) put("last-age", `${elapsed(now() - last.at)} ago`);
  put("wall", wall(now()));
  const stage = picture.stages.find((one) => one.when === "now")?.name ?? picture.place;
  const title = `${figures || picture.beer} · ${stage}`;
  if (document.title !== title) document.title = title;
  fit();
  showCourse();
}

const about = (one) => (one.about ? "about" : "at");

function figuresOf({ due, due_at, left_s }, cut) {
  if (!due && due_at === null && left_s === null) return "";
  if (cut) return UNKNOWN;
  return due ? "NOW" : countdown(left_s ?? due_at - now());
}

function headlineWhen(headline, cut) {
  const { due, due_at, left_s } = headline;
  if (left_s !== null) return cut ? `Paused, with ${countdown(left_s)} left` : "Paused";
  if (due_at === null) return "";
  if (due) return cut ? `It was due at ${wall(due_at)}` : `${since(due_at)} ago, since ${wall(due_at)}`;
  const when = `${about(headline)} ${wall(due_at)}`;
  if (cut) return `It was to be ${when}`;
  return standing() ? `${when}, as of the last news` : when;
}

function showConnection(cut) {
  $("lost").hidden = !cut;
  const silent = elapsed(passedMs(heardAt ?? opened) / 1000, true);
  const over = picture?.finished ? "The day is finished, and its program has ended." : "";
  put("lost-words", over || (heardAt === null ? `No connection yet: no news for ${silent}`
    : `No connection: this is how it stood ${silent} ago`));
  if (cut !== wasLost) speak($("spoken"), cut ? over || "No connection." : "Connected again.");
  wasLost = cut;
}

/** Make the large figures as large as their window allows, whatever typefaces the device has. */
function fit() {
  const box = $("window");
  const shape = $("figures").textContent.replace(/\d/g, "0");
  const asked = `${shape} ${box.clientWidth} ${box.clientHeight}`;
  if (asked === fitted || !box.clientWidth) return;
  fitted = asked;
  const style = $("figures").style;
  style.fontSize = "100px";
  const widest = (box.clientWidth / $("figures").getBoundingClientRect().width) * 100;
  style.fontSize = `${Math.floor(Math.min(widest, box.clientHeight / 0.84))}px`;
}

function showCourse(anew = false) {
  $("course-part").hidden = course === null;
  if (course !== null && picture !== null) drawCourse($("course"), $("course-box"), course, anew);
}

// What the brewer and the device do

$("say-form").addEventListener("submit", (event) => {
  event.preventDefault();
  postField($("field"), lost());
});
$("reading-form").addEventListener("submit", (event) => {
  event.preventDefault();
  postFigure($("quantity").value, $("value"), lost());
});
$("quantity").addEventListener("change", showUnit);

document.addEventListener("keydown", (event) => {
  const typing = event.target.closest("input:not([type=checkbox]), select, textarea");
  if (event.key !== "/" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  if (!$("slash").checked || $("saying").hidden) return;
  event.preventDefault();
  $("field").focus();
});

let waking = null;
async function stayAwake() {
  if (document.visibilityState !== "visible" || (waking && !waking.released)) return;
  try {
    waking = await navigator.wakeLock.request("screen");
  } catch {
    waking = null; // not allowed, or none there
  }
}

function back() {
  stayAwake();
  mend();
  showTime();
}

addEventListener("online", back);
addEventListener("pageshow", back);
addEventListener("pointerdown", stayAwake);
document.addEventListener("visibilitychange", back);
new ResizeObserver(showTime).observe(document.documentElement);
new ResizeObserver(fit).observe($("window"));
new ResizeObserver(() => { // a reader may have set the letters wider
  if ($("figures").offsetWidth > $("window").clientWidth + 1) fitted = "";
  fit();
}).observe($("figures"));
new ResizeObserver(() => showCourse()).observe($("course-box"));

connect();
setInterval(() => {
  mend();
  showTime();
}, 200);
