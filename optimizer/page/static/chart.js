// Charts: one quantity against another with its numbers as a table below it, and the voltage over one electrical period.

import { byId, html, svg } from "./elements.js";

const WIDTH = 320, HEIGHT = 200, LEFT = 40, RIGHT = 14, TOP = 26, BOTTOM = 36;

/** @typedef {{name: string, value: string, remark: string, wide?: boolean, inch?: string}} Row a figure in words */
/** @typedef {[number, number][]} Points */

/**
 * The next round number at or above a positive value.
 * @param {number} value
 */
function nice(value) {
  if (!(value > 0)) return 1;
  const scale = 10 ** Math.floor(Math.log10(value));
  return ([1, 1.5, 2, 2.5, 3, 4, 5, 6, 8].find((step) => step * scale >= value * 0.9999) ?? 10) * scale;
}

const text = (/** @type {number} */ value) => String(Number(value.toPrecision(4)));

/**
 * Horizontal lines with their values at the left end.
 * @param {number[]} values
 * @param {(value: number) => number} y
 * @param {number} left
 * @param {number} right
 * @param {(value: number) => string} told
 */
const levels = (values, y, left, right, told) =>
  values.flatMap((value) => [
    svg("line", { class: value ? "grid" : "axis", x1: left, x2: right, y1: y(value), y2: y(value) }),
    svg("text", { x: left - 5, y: y(value) + 4, "text-anchor": "end" }, told(value)),
  ]);

/**
 * A chart of points [x, y]. spec: title, x and y (names with units), here (x of the design as it is), and joined:
 * whether a line joins the points.
 * @param {Points} points
 * @param {{title: string, x: string, y: string, here?: number, joined?: boolean, bare?: boolean, none?: string,
 *   fromZero?: boolean}} spec
 */
export function chart(points, spec) {
  const here = spec.here ?? Number.NaN;
  const figure = html("figure", { class: "chart" }, html("figcaption", {}, spec.title));
  if (points.length < 2) {
    figure.append(html("p", {}, spec.none ?? "Nothing else fits."));
    return figure;
  }
  const xs = points.map((point) => point[0]);
  const low = spec.fromZero ? 0 : Math.min(...xs), high = Math.max(...xs),
    top = nice(Math.max(...points.map((point) => point[1])));
  const x = (/** @type {number} */ value) => LEFT + ((value - low) / (high - low)) * (WIDTH - LEFT - RIGHT);
  const y = (/** @type {number} */ value) => TOP + (1 - value / top) * (HEIGHT - TOP - BOTTOM);
  const ticks = spec.joined ? [low, (low + high) / 2, high] : xs;
  figure.append(
    svg("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img",
      "aria-label": `${spec.title}: ${spec.y} against ${spec.x}; the numbers follow` },
      ...levels([0, top / 2, top], y, LEFT, WIDTH - RIGHT, text),
      ...ticks.map((value) => svg("text", { x: x(value), y: HEIGHT - 21, "text-anchor": "middle" }, text(value))),
      svg("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: HEIGHT - 5, "text-anchor": "middle" }, spec.x),
      svg("text", { x: 2, y: 12 }, spec.y), spec.joined
      ? svg("polyline", { class: "curve", points: points.map((point) => `${x(point[0])},${y(point[1])}`).join(" ") })
      : null,
      ...(spec.bare ? [] : points).map((point) =>
        svg("circle", { class: Math.abs(point[0] - here) < 1e-9 ? "here" : "point", cx: x(point[0]), cy: y(point[1]),
          r: Math.abs(point[0] - here) < 1e-9 ? 5.5 : spec.joined ? 2.4 : 4 })
      )),
    html("details", {}, html("summary", {}, "Numbers"),
      table([spec.x, spec.y], points.map((point) => point.map(text)))),
  );
  return figure;
}

/**
 * A plain table that scrolls within its own width; the first cell of a line names it.
 * @param {string[]} heads
 * @param {(string | Node)[][]} lines
 */
export function table(heads, lines) {
  return html("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": `Table: ${heads.join(", ")}` },
    html("table", {}, html("thead", {}, html("tr", {}, ...heads.map((head) => html("th", { scope: "col" }, head)))),
      html("tbody", {},
        ...lines.map((cells) =>
          html("tr", {}, ...cells.map((cell, at) => (at ? html("td", {}, cell) : html("th", { scope: "row" }, cell))))
        ))));
}

/**
 * Figures with their names and remarks.
 * @param {Row[]} rows
 * @param {boolean} [inches] beside the millimetres
 */
export const figureRows = (rows, inches = false) =>
  rows.map((row) =>
    html("div", { class: row.wide && "wide" }, html("dt", {}, row.name),
      html("dd", {}, html("b", {}, row.value), inches && row.inch ? ` (${row.inch})` : "", " ",
        html("small", {}, row.remark)))
  );

/**
 * @typedef {{volts: number[], rms: number, peak: number, phases: {name: string, volts: number[]}[]}} Waveform
 */

/** @type {{waveform: Waveform, period: number, x: (share: number) => number, y: (volts: number) => number} | null} */
let shown = null;
const dot = svg("circle", { class: "dot", r: 6 });

/**
 * Draw the waveform.
 * @param {Waveform | null} waveform
 * @param {number} pairs half the number of magnets
 */
export function showWaveform(waveform, pairs) {
  const WIDTH = 440, HEIGHT = 150, LEFT = 48, RIGHT = 8, TOP = 18, BOTTOM = 38;
  const figure = byId("waveform");
  shown = null;
  figure.replaceChildren();
  if (!waveform) return;
  const period = 360 / pairs;
  const top = nice(waveform.peak);
  const x = (/** @type {number} */ share) => LEFT + share * (WIDTH - LEFT - RIGHT);
  const y = (/** @type {number} */ volts) => TOP + (1 - (volts / top + 1) / 2) * (HEIGHT - TOP - BOTTOM);
  const count = waveform.volts.length - 1;
  const phases = waveform.phases.length ? waveform.phases : [{ name: "", volts: waveform.volts }];
  const of = phases.length > 1 ? " of A" : "";
  const small = innerWidth < 640; // letters are larger there: the first angle keeps clear of the lowest volts
  const number = (/** @type {number} */ value) => String(Number(value.toPrecision(3)));
  figure.append(svg("svg", {
    viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
    role: "img",
    "aria-label": `Voltage over one period${
      phases.length > 1 ? ", three phases A, B and C a third of a period apart" : ""
    }: ${number(waveform.peak)} volts peak, ${number(waveform.rms)} volts rms${of && " of phase A"}`,
  }, ...levels([-top, 0, top], y, LEFT, WIDTH - RIGHT, (volts) => `${number(volts).replace("-", "−")} V`),
    ...(small ? [0, 0.5, 1] : [0, 0.25, 0.5, 0.75, 1]).map((share) =>
      svg("text", { x: x(share), y: HEIGHT - 21,
        "text-anchor": small && !share ? "start" : share === 1 ? "end" : "middle" }, `${number(share * period)}°`)
    ), svg("text", { x: x(0.5), y: HEIGHT - 3, "text-anchor": "middle" }, `rotor angle, one period; dotted: rms${of}`),
    ...[-1, 1].map((sign) =>
      svg("line", { class: "level", x1: x(0), x2: x(1), y1: y(sign * waveform.rms), y2: y(sign * waveform.rms) })
    ),
    ...phases.map(({ name, volts }) =>
      svg("polyline", { class: `curve ${name}`.trim(), points: volts.map((each, at) =>
        `${x(at / count).toFixed(1)},${y(each).toFixed(1)}`
      ).join(" ") })
    ), ...phases.filter(({ name }) => name).map(({ name, volts }) => {
      const at = highest(volts);
      return svg("text", { class: "phase", x: x(at / count), y: y(volts[at]) - 5, "text-anchor": "middle" }, name);
    }), dot));
  shown = { waveform, period, x, y };
}

/**
 * Where a wave is highest, away from the ends of the axis.
 * @param {number[]} volts
 */
function highest(volts) {
  const edge = Math.floor(volts.length / 30);
  let best = edge;
  for (let at = edge; at < volts.length - edge; at++) if (volts[at] > volts[best]) best = at;
  return best;
}

/**
 * Move the dot to a rotor angle; returns the volts there, or null.
 * @param {number} degrees
 */
export function moveDot(degrees) {
  if (!shown) return null;
  const { waveform, period, x, y } = shown, count = waveform.volts.length - 1;
  const share = (((degrees / period) % 1) + 1) % 1;
  const at = Math.min(Math.floor(share * count), count - 1);
  const volts = waveform.volts[at] + (waveform.volts[at + 1] - waveform.volts[at]) * (share * count - at);
  dot.setAttribute("cx", String(x(share)));
  dot.setAttribute("cy", String(y(volts)));
  return volts;
}
