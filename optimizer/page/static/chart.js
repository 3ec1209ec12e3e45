// A small chart of one quantity against another, with its numbers as a table below it.

import { html, svg } from "./elements.js";

const WIDTH = 320, HEIGHT = 200, LEFT = 40, RIGHT = 14, TOP = 26, BOTTOM = 36;

/** @typedef {{name: string, value: string, remark: string, wide?: boolean, inch?: string}} Row a figure in words */
/** @typedef {[number, number][]} Points */

/**
 * The next round number at or above a positive value.
 * @param {number} value
 */
export function nice(value) {
  if (!(value > 0)) return 1;
  const scale = 10 ** Math.floor(Math.log10(value));
  return ([1, 1.5, 2, 2.5, 3, 4, 5, 6, 8].find((step) => step * scale >= value * 0.9999) ?? 10) * scale;
}

const text = (/** @type {number} */ value) => String(Number(value.toPrecision(4)));

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
      ...[0, top / 2, top].flatMap((value) => [
        svg("line", { class: value ? "grid" : "axis", x1: LEFT, x2: WIDTH - RIGHT, y1: y(value), y2: y(value) }),
        svg("text", { x: LEFT - 5, y: y(value) + 4, "text-anchor": "end" }, text(value)),
      ]), ...ticks.map((value) => svg("text", { x: x(value), y: HEIGHT - 21, "text-anchor": "middle" }, text(value))),
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
