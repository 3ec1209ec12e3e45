// The machine as drawn by the server, turned by hand, with marks where it does not fit.

import { byId, drawn, html, svg } from "./elements.js";

const ROTOR = ["PITCH_CIRCLE", "CENTER_MARKS", "CARRIER_OUTLINE", "POCKETS_NORTH", "POCKETS_SOUTH", "POLES_NORTH", "POLES_SOUTH"];

let picture = null;
let index = null;
let spots = [];

/** Show the server's answer: drawing, hatched areas, numbered spots with their words. */
export function showDrawing(answer, degrees) {
  picture = drawn(answer.svg, "live");
  const rim = picture.querySelector(".CARRIER_OUTLINE circle");
  const radius = Number(rim?.getAttribute("r") ?? 50);
  index = svg("path", { class: "index", d: `M${radius - radius / 28} 0L${radius} ${radius / 50}V${-radius / 50}Z` });
  picture.append(hatch(radius / 30), ...claimed(answer), index);
  spots = answer.misfits.map((misfit, at) => spot(misfit, at + 1, radius));
  picture.append(...spots);
  byId("sheet").replaceChildren(picture);
  byId("misfits").replaceChildren(...answer.misfits.map((misfit, at) =>
    html("li", {}, html("b", {}, String(at + 1)), misfit.words)));
  turn(degrees);
  placeWords();
}

function hatch(size) {
  return svg("defs", {}, svg("pattern", { id: "hatch", width: size, height: size, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    svg("path", { d: `M0 0V${size}` })));
}

function* copies(area) {
  for (let at = 0; at < area.repeat; at++) {
    yield svg("path", { class: "claimed", d: area.path, "fill-rule": "evenodd", transform: `rotate(${(-360 * at) / area.repeat})` });
  }
}

const claimed = (answer) => answer.areas.flatMap((area) => [...copies(area)]);

function spot(misfit, number, radius) {
  const size = radius / 16;
  return svg("g", { class: "spot", "data-x": misfit.x, "data-y": misfit.y },
    svg("circle", { cx: misfit.x, cy: misfit.y, r: size }),
    svg("text", { x: misfit.x, y: misfit.y + size * 0.38, "font-size": size * 1.1 }, String(number)));
}

/** Put the words of each misfit beside its spot, on the side away from the shaft, none over another. */
export function placeWords() {
  const words = [...byId("misfits").children];
  if (!words.length || !picture || getComputedStyle(words[0]).position !== "absolute") return;
  const frame = byId("drawing").getBoundingClientRect();
  const places = spots.map((mark, at) => {
    const box = mark.getBoundingClientRect();
    return { at, right: Number(mark.dataset.x) >= 0, left: box.left - frame.left, end: box.right - frame.left, y: box.top - frame.top };
  });
  for (const right of [true, false]) {
    let below = 0;
    for (const place of places.filter((p) => p.right === right).sort((a, b) => a.y - b.y)) {
      const item = words[place.at];
      const x = right ? Math.min(place.end + 6, frame.width - item.offsetWidth) : Math.max(place.left - item.offsetWidth - 6, 0);
      const under = right && x < place.end + 6 ? 1.6 * (place.end - place.left) : 0;
      const y = Math.max(place.y + under, below);
      item.style.left = `${x}px`;
      item.style.top = `${y}px`;
      below = y + item.offsetHeight + 5;
    }
  }
}

/** Turn the rotor's layers by `degrees`, counter-clockwise as the model has it. */
export function turn(degrees) {
  if (!picture) return;
  const turned = `rotate(${-degrees})`;
  for (const name of ROTOR) picture.querySelector(`.${name}`)?.setAttribute("transform", turned);
  index.setAttribute("transform", turned);
}

/** Let the rotor be turned by dragging the drawing; `turned(by)` gets degrees. */
export function letTurn(turned) {
  const sheet = byId("sheet");
  let last = null;
  const angle = (event) => {
    const matrix = picture?.getScreenCTM();
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
    const now = angle(event);
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
