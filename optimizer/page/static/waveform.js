// The voltage over one electrical period, of each phase, and the dot that runs along the first.

import { nice } from "./chart.js";
import { byId, svg } from "./elements.js";

const WIDTH = 440, HEIGHT = 150, LEFT = 48, RIGHT = 8, TOP = 18, BOTTOM = 38;

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
  }, ...[-top, 0, top].flatMap((volts) => [
    svg("line", { class: volts ? "grid" : "axis", x1: x(0), x2: x(1), y1: y(volts), y2: y(volts) }),
    svg("text", { x: LEFT - 6, y: y(volts) + 4, "text-anchor": "end" }, `${number(volts).replace("-", "−")} V`),
  ]),
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
