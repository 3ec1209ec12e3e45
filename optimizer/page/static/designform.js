// The design as a form: what else changes in a layout with some of its keys, and which its file may have.

import { state } from "./address.js";
import { byId } from "./elements.js";
import { alsoInFile, edited, forget, forms, groupsOf, showFields, tidy } from "./fields.js";
import { gradeField, reshape } from "./magnets.js";

const MAGNET = "carrier.magnet.", PITCH = "carrier.pitch_radius_mm", COILS = "winding.coils";
/** @type {Record<string, string>} What a change of phases or shape took from the design. */
const left = {};

const number = (/** @type {string} */ key) => Number(state.design[key]);
const isArc = () => state.design[`${MAGNET}shape`] === "arc";
const threePhase = () => state.design["winding.phases"] === "3";
/** Whether each sector has a coil of its own; a serpentine runs through all. */
const concentrated = () => forms.concentrated.includes(state.design["winding.topology"]);
const stacked = () => threePhase() && !concentrated();
/** Numbers of coils that make three phases with the design's magnets: [coils, handbook winding factor] each. */
const combinations = () => forms.combinations[number("carrier.count")] ?? [];

/** An arc's pitch circle lies midway between its radii. */
function midway() {
  const sum = number(`${MAGNET}inner_radius_mm`) + number(`${MAGNET}outer_radius_mm`);
  if (isArc() && sum > 0) state.design[PITCH] = tidy(sum / 2);
}

function moveArc() {
  const pitch = number(PITCH), half = (number(`${MAGNET}outer_radius_mm`) - number(`${MAGNET}inner_radius_mm`)) / 2;
  if (!isArc() || !(pitch > 0) || !(half > 0)) return;
  state.design[`${MAGNET}inner_radius_mm`] = tidy(pitch - half);
  state.design[`${MAGNET}outer_radius_mm`] = tidy(pitch + half);
}

/** @param {string} shape */
function setShape(shape) {
  const pitch = number(PITCH) || Math.max(number("space.outer_diameter_mm") / 2 || 50, 10) / 2;
  const place = { pitch, count: Math.max(number("carrier.count") || 2, 2), wall: number("space.wall_mm") || 0 };
  reshape(state.design, MAGNET, shape, place);
  midway();
}

/** Coils, stacking and connection go with phases and shape: each is taken away, or given back as it was. */
function follow() {
  const may = { [COILS]: threePhase() && concentrated(), "winding.stacking": stacked(),
    "winding.connection": threePhase() };
  for (const [key, wanted] of Object.entries(may)) {
    if (!wanted && key in state.design) {
      left[key] = state.design[key];
      delete state.design[key];
    } else if (wanted && key === COILS) giveCoils();
    else if (wanted && key in left) state.design[key] ??= left[key];
  }
}

/** The coils that there were, if they still make three phases, or the number nearest to three for four magnets. */
function giveCoils() {
  const known = combinations().map(([coils]) => coils), usual = 0.75 * number("carrier.count");
  const [nearest] = [...known].sort((a, b) => Math.abs(a - usual) - Math.abs(b - usual));
  if (nearest) state.design[COILS] ??= known.includes(Number(left[COILS])) ? left[COILS] : String(nearest);
}

/** Coils to magnets in least terms: "3:4". */
function ratio(/** @type {number} */ coils) {
  let [a, b] = [coils, number("carrier.count")];
  while (b) [a, b] = [b, a % b];
  return `${coils / a}:${number("carrier.count") / a}`;
}

/** @type {Parameters<typeof groupsOf>[1]} */
const OWN = {
  [`${MAGNET}shape`]: { set: setShape },
  [`${MAGNET}inner_radius_mm`]: { after: midway },
  [`${MAGNET}outer_radius_mm`]: { after: midway },
  [`${MAGNET}grade`]: gradeField("design", () => state.design, MAGNET),
  [PITCH]: { after: moveArc,
    note: () => (isArc() ? "Midway between the magnets' radii: they move with it, and it with them." : "") },
  "carrier.plate_mm": { when: () => state.design["carrier.arrangement"] !== "two-sided" },
  "winding.topology": { after: follow },
  "winding.phases": { radios: true, after: follow },
  [COILS]: { when: () => threePhase() && concentrated(), choices: () =>
    combinations().map((
      [coils, factor],
    ) => [String(coils), `${coils}: ${ratio(coils)}, factor ${factor.toFixed(3)}`]),
    note: () => "Coils to magnets, and the handbook's winding factor." },
  "winding.stacking": { when: stacked },
  "winding.connection": { when: threePhase },
  "winding.height_mm": { note: () => (stacked() && number("winding.height_mm")
    ? `Of each phase; ${tidy(3 * number("winding.height_mm"))} mm in all.`
    : "") },
};

/**
 * Connect the form. changed(final): called after each change; `final` once the hand lets go.
 * @param {(final: boolean) => void} changed
 */
export function buildDesign(changed) {
  byId("controls").onsubmit = (event) => event.preventDefault();
  edited.design = (final) => {
    showFields("design");
    changed(final);
  };
}

/** Build the form anew, of a design that was replaced. */
export function showDesign() {
  const focused = document.activeElement?.id;
  forget("design");
  byId("controls").replaceChildren(...groupsOf("design", OWN), ...alsoInFile("design"));
  if (focused) document.getElementById(focused)?.focus();
}
