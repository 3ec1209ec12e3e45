// The machine as drawn by the server, turned by hand, with marks where it does not fit.

import { byId, drawn, html, svg } from "./elements.js";

const ROTOR = ["PITCH_CIRCLE", "CENTER_MARKS", "CARRIER_OUTLINE", "POCKETS_NORTH", "POCKETS_SOUTH", "POLES_NORTH",
  "POLES_SOUTH"];

/**
 * @typedef {{x: number, y: number, rotor: boolean, words: string}} Misfit
 * @typedef {{path: string, repeat: number, rotor: boolean}} Area claimed twice, as a path and how often it stands around
 */

/** @type {HTMLElement | null} */
let picture = null;
/** @type {SVGElement | null} */
let index = null;

/**
 * Show the server's answer: drawing, hatched areas, numbered spots with their words.
 * @param {{svg: string, violations: Misfit[], areas: Area[]}} answer
 * @param {number} degrees
 */
export function showDrawing(answer, degrees) {
  picture = drawn(answer.svg, "live");
  picture.querySelector(".POCKETS_SOUTH")?.after(picture.querySelector(".CENTER_MARKS") ?? ""); // holes of rings lie on the magnets
  const rim = picture.querySelector(".CARRIER_OUTLINE circle");
  const radius = Number(rim?.getAttribute("r") ?? 50);
  index = svg("path", { class: "index", d: `M${radius - radius / 28} 0L${radius} ${radius / 50}V${-radius / 50}Z` });
  picture.append(hatch(radius / 30), ...answer.areas.map(claimed), index);
  picture.append(...answer.violations.map((misfit, at) => spot(misfit, at + 1, radius)));
  byId("sheet").replaceChildren(picture);
  byId("misfits").replaceChildren(
    ...answer.violations.map((misfit, at) => html("li", {}, html("b", {}, String(at + 1)), misfit.words)),
  );
  turn(degrees);
  placeWords();
}

/** @param {number} size */
function hatch(size) {
  return svg("defs", {},
    svg("pattern", { id: "hatch", width: size, height: size, patternUnits: "userSpaceOnUse",
      patternTransform: "rotate(45)" }, svg("path", { d: `M0 0V${size}` })));
}

/** @param {Area} area */
function* copies(area) {
  for (let at = 0; at < area.repeat; at++) {
    yield svg("path", { class: "claimed", d: area.path, "fill-rule": "evenodd",
      transform: `rotate(${(-360 * at) / area.repeat})` });
  }
}

const claimed = (/** @type {Area} */ area) => svg("g", { class: area.rotor ? "turning" : "" }, ...copies(area));

/** @param {Misfit} misfit @param {number} number @param {number} radius of the disc */
function spot(misfit, number, radius) {
  const size = radius / 16;
  return svg("g", { class: misfit.rotor ? "spot turning-spot" : "spot", "data-x": misfit.x, "data-y": misfit.y,
    transform: `translate(${misfit.x} ${misfit.y})` }, svg("circle", { r: size }),
    svg("text", { y: size * 0.38, "font-size": size * 1.1 }, String(number)));
}

/** Put the words of each misfit into the corner beside its spot; later ones of a corner below or above the first. */
export function placeWords() {
  const list = byId("misfits");
  const words = [...list.querySelectorAll("li")];
  if (list.scrollHeight > list.clientHeight + 1 && getComputedStyle(list).overflowY === "auto") list.tabIndex = 0;
  else list.removeAttribute("tabindex");
  if (!words.length || !picture || getComputedStyle(words[0]).position !== "absolute") return;
  const height = byId("sheet").offsetHeight;
  const taken = [0, 0, 0, 0];
  words.forEach((item, at) => {
    const corner = at % 4;
    const upper = corner % 2 === 0;
    item.style.left = corner < 2 ? "auto" : "0";
    item.style.right = corner < 2 ? "0" : "auto";
    item.style.top = `${upper ? taken[corner] : height - taken[corner] - item.offsetHeight}px`;
    taken[corner] += item.offsetHeight + 5;
  });
}

/**
 * Turn the rotor's layers by `degrees`, counter-clockwise as the model has it.
 * @param {number} degrees
 */
export function turn(degrees) {
  if (!picture) return;
  const turned = `rotate(${-degrees})`;
  for (const name of ROTOR) picture.querySelector(`.${name}`)?.setAttribute("transform", turned);
  for (const part of [index, ...picture.querySelectorAll(".turning")]) part?.setAttribute("transform", turned);
  for (const mark of /** @type {NodeListOf<SVGElement>} */ (picture.querySelectorAll(".turning-spot"))) {
    const { x, y } = mark.dataset;
    mark.setAttribute("transform", `rotate(${-degrees}) translate(${x} ${y}) rotate(${degrees})`);
  }
}

/**
 * Let the rotor be turned by dragging the drawing.
 * @param {(by: number) => void} turned gets degrees
 */
export function letTurn(turned) {
  const sheet = byId("sheet");
  /** @type {number | null} */
  let last = null;
  const angle = (/** @type {PointerEvent} */ event) => {
    const matrix = /** @type {SVGSVGElement | null} */ (/** @type {unknown} */ (picture))?.getScreenCTM();
    if (!matrix) return null;
    return (Math.atan2(matrix.f - event.clientY, event.clientX - matrix.e) * 180) / Math.PI;
  };
  sheet.addEventListener("pointerdown", (event) => {
    last = angle(event);
    sheet.setPointerCapture(event.pointerId);
    picture?.classList.add("held");
  });
  sheet.addEventListener("pointermove", (event) => {
    if (last === null) return;
    const now = angle(event) ?? last;
    turned(((now - last + 540) % 360) - 180);
    last = now;
  });
  for (const end of ["pointerup", "pointercancel"]) {
    sheet.addEventListener(end, () => {
      last = null;
      picture?.classList.remove("held");
    });
  }
}
