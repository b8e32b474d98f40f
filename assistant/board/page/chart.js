/* The kettle's temperature through the day, drawn in the pixels there are, and summed up in words. */
import { now, wall, wallMs } from "./clock.js";

const MINUTE_MS = 60000;
const STEPS_MIN = [1, 2, 5, 10, 15, 30, 60, 120, 240];
const STEPS_DEGREES = [5, 10, 20, 25, 50, 100];
const LABEL_EM = 5; // room for a clock time and the gap to the next
const LINE_EM = 2.6; // between two labels of temperature

let drawn = "";
let place = null; // what moves the "now" line: it stays while all else is left as drawn

/** Draw `course` into `svg`, as large as `box`; only the line of now moves until it is drawn `anew`. */
export function drawCourse(svg, box, course, anew) {
  const [width, height] = [box.clientWidth, box.clientHeight];
  const size = `${width} ${height}`;
  if (!width || !height) return;
  if (anew || size !== drawn) {
    drawn = size;
    const em = parseFloat(getComputedStyle(svg).fontSize);
    place = draw(svg, course, scales(course, width, height, em));
  }
  place();
}

function element(name, attributes, words = "") {
  const node = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (words) node.textContent = words;
  return node;
}

function scales(course, width, height, em) {
  const lines = [...course.planned, ...course.was, ...course.readings];
  const degrees = [
    ...lines.map(([, c]) => c),
    ...course.expected.flatMap(([, c, low, high]) => [c, low, high]),
    ...course.targets.flatMap(({ low, high }) => [low, high]),
  ];
  if (!degrees.length) degrees.push(0, 100);
  const bottom = Math.floor(Math.min(...degrees) / 10) * 10;
  const top = Math.max(Math.ceil(Math.max(...degrees) / 10) * 10, bottom + 10);
  const edges = { left: 2.6 * em, right: width - 0.8 * em, top: 3.2 * em, bottom: height - 1.6 * em };
  const end = Math.max(course.ends_at, now(), ...course.expected.map(([s]) => s), 1);
  return {
    ...edges, em, low: bottom, high: top, end,
    x: (s) => edges.left + (s / end) * (edges.right - edges.left),
    y: (c) => edges.bottom - ((c - bottom) / (top - bottom)) * (edges.bottom - edges.top),
  };
}

const path = (points) => points.map(([x, y], i) => `${i ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");

function draw(svg, course, at) {
  const onto = (points) => path(points.map(([s, c]) => [at.x(s), at.y(c)]));
  const { planned, was, expected, readings, unit } = course;
  const rim = [...expected.map(([s, , , high]) => [s, high]), ...expected.map(([s, , low]) => [s, low]).reverse()];
  const nowLine = element("path", { class: "now-line" });
  const nowWord = element("text", { class: "now-word", y: at.bottom - 0.4 * at.em }, "now");
  svg.setAttribute("aria-label", inWords(course));
  svg.replaceChildren(
    ...axes(at, unit),
    ...course.targets.flatMap((target) => targetBand(at, target)),
    element("path", { class: "band", d: rim.length ? `${onto(rim)}Z` : "" }),
    element("path", { class: "planned", d: onto(planned) }),
    element("path", { class: "expected", d: onto(expected) }),
    element("path", { class: "was", d: onto(was) }),
    ...readings.map(([s, c]) => element("circle", { class: "reading", cx: at.x(s), cy: at.y(c), r: 0.28 * at.em })),
    ...markSigns(at, course.marks),
    nowLine, nowWord,
  );
  return () => {
    const x = at.x(Math.min(now(), at.end));
    const before = x > at.right - 4 * at.em;
    nowLine.setAttribute("d", `M${x.toFixed(1)} ${at.top}V${at.bottom}`);
    nowWord.setAttribute("x", x + (before ? -0.4 : 0.4) * at.em);
    nowWord.setAttribute("text-anchor", before ? "end" : "start");
  };
}

function axes(at, unit) {
  const most = Math.max(Math.floor((at.bottom - at.top) / (LINE_EM * at.em)), 2);
  const step = STEPS_DEGREES.find((one) => (at.high - at.low) / one <= most) ?? 200;
  const lines = [];
  for (let c = Math.ceil(at.low / step) * step; c <= at.high; c += step) {
    lines.push(element("path", { class: "grid", d: `M${at.left} ${at.y(c)}H${at.right}` }),
      element("text", { x: at.left - 0.5 * at.em, y: at.y(c) + 0.35 * at.em, "text-anchor": "end" }, `${c}`));
  }
  lines.push(element("text", { x: 0, y: 0.9 * at.em }, unit));
  const [begin, finish] = [wallMs(0), wallMs(at.end)];
  const room = Math.max(Math.floor((at.right - at.left) / (LABEL_EM * at.em)), 1);
  const every = (STEPS_MIN.find((one) => (finish - begin) / (one * MINUTE_MS) <= room) ?? 720) * MINUTE_MS;
  for (let ms = Math.ceil(begin / every) * every; ms <= finish; ms += every) {
    const s = ((ms - begin) / (finish - begin)) * at.end;
    const x = at.x(s);
    if (x > at.right - 1.2 * at.em) break;
    lines.push(element("path", { class: "grid", d: `M${x} ${at.bottom}v${0.3 * at.em}` }),
      element("text", { x, y: at.bottom + 1.35 * at.em, "text-anchor": "middle" }, wall(s)));
  }
  return lines;
}

function targetBand(at, { name, from, until, low, high }) {
  const [x, width] = [at.x(from), Math.max(at.x(until) - at.x(from), 3)];
  const height = Math.max(at.y(low) - at.y(high), 0.35 * at.em);
  const y = (at.y(low) + at.y(high) - height) / 2;
  const band = element("rect", { class: "target", x, y, width, height });
  if (width < name.length * 0.55 * at.em) return [band];
  return [band, element("text", { x, y: y - 0.35 * at.em, class: "target-name" }, name)];
}

/** A wedge for each addition, filled once it is in; only the next to come is named. */
function markSigns(at, marks) {
  const [wide, tall, y] = [0.4 * at.em, 0.7 * at.em, at.top - 1.8 * at.em];
  const wedges = marks.map((mark) => element("path", {
    class: mark.done ? "mark done" : "mark",
    d: `M${at.x(mark.at) - wide} ${y}h${2 * wide}l${-wide} ${tall}z`,
  }));
  const next = marks.find((mark) => !mark.done);
  if (next === undefined) return wedges;
  const before = at.x(next.at) > (at.left + at.right) / 2;
  const x = at.x(next.at) + (before ? wide : -wide);
  const name = next.name.length > 28 ? `${next.name.slice(0, 27)}…` : next.name;
  const anchor = before ? "end" : "start";
  return [...wedges, element("text", { x, y: at.top - 2.3 * at.em, "text-anchor": anchor }, name)];
}

/** The temperature a line has at a time, or null outside it. */
function along(points, at) {
  const after = points.findIndex(([s]) => s >= at);
  if (after < 0 || (after === 0 && points[0][0] > at)) return null;
  if (after === 0) return points[0][1];
  const [[s0, c0], [s1, c1]] = [points[after - 1], points[after]];
  return c0 + ((c1 - c0) * (at - s0)) / (s1 - s0 || 1);
}

function inWords({ unit, planned, was, expected, readings, targets, marks }) {
  const figure = (c) => `${c.toFixed(1)} ${unit}`;
  const told = [];
  const read = readings.at(-1);
  if (read) told.push(`last read ${figure(read[1])} at ${wall(read[0])}`);
  const believed = expected[0] ?? was.at(-1);
  if (believed) told.push(`believed to be ${figure(believed[1])} now`);
  const plan = along(planned, now());
  if (plan !== null) told.push(`planned for now ${figure(plan)}`);
  const next = targets.find(({ until }) => until > now());
  if (next) {
    told.push(`wanted for ${next.name} from ${wall(next.from)} to ${wall(next.until)}: ${figure(next.low)} to ${figure(next.high)}`);
  }
  const mark = marks.find(({ done }) => !done);
  if (mark) told.push(`next addition ${mark.name} at ${wall(mark.at)}`);
  return `Chart of kettle temperature: ${told.join("; ") || "nothing known yet"}.`;
}
