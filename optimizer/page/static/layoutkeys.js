// The keys of a layout file as controls: groups of entries, and what else changes with some of them.

import { reshaper, SHAPE_ICONS, SIZES, tidy } from "./magnets.js";
import { combinations, concentrated, ratio, setPhases, setTopology, threePhase } from "./phases.js";

const MAGNET = "carrier.magnet.";
const WAVE_ICONS = {
  1: "M2 12c3.3-12 6.7-12 10 0s6.7 12 10 0",
  3: "M2 5c3.3-6 6.7-6 10 0s6.7 6 10 0M2 12c3.3-6 6.7-6 10 0s6.7 6 10 0M2 19c3.3-6 6.7-6 10 0s6.7 6 10 0",
};
const ARRANGEMENTS = { single: "one carrier, one coil", facing: "two carriers, coil between",
  "two-sided": "a coil on each side" };
const STACKINGS = { layered: "A, B, C one above another", interleaved: "in halves, A B C C B A" };
const NO_GRADE = "none";

const mm = (key, label, least, most, step = 0.1) => ({ key, label, unit: "mm", least, most, step });
const radius = (design) => Math.max(Number(design["space.outer_diameter_mm"]) / 2 || 50, 10);
const isArc = (design) => design[`${MAGNET}shape`] === "arc";
const named = (words) => (value) => [value, words[value] ? `${value}: ${words[value]}` : value];

const place = (design) => ({
  pitch: Number(design["carrier.pitch_radius_mm"]) || radius(design) / 2,
  count: Math.max(Number(design["carrier.count"]) || 2, 2),
  wall: Number(design["space.wall_mm"]) || 0,
});

/** A function that sets the shape of a design's magnets, with sizes that follow from those it had. */
function shapeSetter(choices) {
  const reshaped = reshaper();
  return (design, shape) => {
    const from = design[`${MAGNET}shape`] ?? "disc";
    if (shape === from) return;
    const keys = Object.keys(SIZES).filter((key) => MAGNET + key in design);
    const sizes = reshaped(from, shape, Object.fromEntries(keys.map((key) => [key, design[MAGNET + key]])),
      place(design));
    for (const key of keys) delete design[MAGNET + key];
    design[`${MAGNET}shape`] = shape;
    for (const key of choices.magnets[shape]) design[MAGNET + key] = sizes[key];
    if (shape === "arc") midway(design);
  };
}

/** An arc's pitch circle lies midway between its radii. */
function midway(design) {
  const sum = Number(design[`${MAGNET}inner_radius_mm`]) + Number(design[`${MAGNET}outer_radius_mm`]);
  if (isArc(design) && sum > 0) design["carrier.pitch_radius_mm"] = tidy(sum / 2);
}

function moveArc(design) {
  const pitch = Number(design["carrier.pitch_radius_mm"]);
  const half = (Number(design[`${MAGNET}outer_radius_mm`]) - Number(design[`${MAGNET}inner_radius_mm`])) / 2;
  if (!isArc(design) || !(pitch > 0) || !(half > 0)) return;
  design[`${MAGNET}inner_radius_mm`] = tidy(pitch - half);
  design[`${MAGNET}outer_radius_mm`] = tidy(pitch + half);
}

/** A magnet is of a grade, or of a stated remanence; what is set has the strength of what was there. */
function setGrade(design, grade, choices) {
  const before = design[`${MAGNET}grade`];
  if (grade !== NO_GRADE) {
    if (before === undefined) { for (const key of ["remanence_T", "recoil_permeability"]) delete design[MAGNET + key]; }
    design[`${MAGNET}grade`] = grade;
    return;
  }
  const [remanence, recoil] = choices.remanences[before] ?? [1.2, 1.05];
  delete design[`${MAGNET}grade`];
  design[`${MAGNET}remanence_T`] ??= tidy(remanence);
  design[`${MAGNET}recoil_permeability`] ??= tidy(recoil);
}

const size = (key, least, most, step, more = {}) => ({ key: MAGNET + key,
  label: `Magnet ${SIZES[key][0].toLowerCase()}`, unit: SIZES[key][1], least, most, step, ...more });

/** @returns {[string, any[]]} */
function magnets(choices) {
  return ["Magnets", [
    { key: "carrier.count", label: "Number of magnets", unit: "", least: 2, most: 40, step: 2 },
    { key: `${MAGNET}shape`, label: "Magnet shape", icons: SHAPE_ICONS, options: Object.keys(choices.magnets),
      usual: "disc", change: shapeSetter(choices) },
    size("diameter_mm", 3, 50, 0.5),
    size("bore_mm", 1, 30, 0.5),
    size("length_mm", 3, 60, 0.5),
    size("width_mm", 3, 60, 0.5),
    size("inner_radius_mm", 3, radius, 0.1, { after: midway }),
    size("outer_radius_mm", 5, (design) => radius(design) * 1.1, 0.1, { after: midway }),
    size("angle_deg", 1, (design) => Math.min(360 / Math.max(Number(design["carrier.count"]) || 2, 2), 179), 0.1),
    mm(`${MAGNET}thickness_mm`, "Magnet thickness", 1, 20, 0.5),
    { key: `${MAGNET}grade`, label: "Magnet grade",
      options: () => [...choices.grades.map((name) => [name, name]), [NO_GRADE, "none: by its remanence"]],
      usual: NO_GRADE, change: (design, grade) => setGrade(design, grade, choices) },
    { key: `${MAGNET}remanence_T`, label: "Remanence", unit: "T", least: 0.1, most: 1.5, step: 0.01 },
    { key: `${MAGNET}recoil_permeability`, label: "Recoil permeability", unit: "", least: 1, most: 1.3, step: 0.01 },
    { key: `${MAGNET}temperature_C`, label: "Temperature", unit: "°C", least: -40, most: 150, step: 5, usual: "20" },
    { ...mm("carrier.pitch_radius_mm", "Pitch radius", 5, (design) => radius(design) * 1.1), after: moveArc, note: (
      design,
    ) => (isArc(design) ? "Midway between the magnets' radii: they move with it, and it with them." : "") },
    { key: "carrier.arrangement", label: "Arrangement", options: () => choices.arrangements.map(named(ARRANGEMENTS)),
      usual: "single" },
    { ...mm("carrier.plate_mm", "Steel plate", 0, 10, 0.5), usual: "0",
      when: (design) => design["carrier.arrangement"] !== "two-sided" || "carrier.plate_mm" in design,
      note: (design) => (Number(design["carrier.plate_mm"] ?? 0) === 0 ? "Behind the magnets; 0: none." : "") },
  ]];
}

/** @returns {[string, any[]]} */
function coil(choices) {
  const stacked = (design) => threePhase(design) && !concentrated(design, choices);
  return ["Coil", [
    { key: "winding.topology", label: "Coil shape", icons: choices.coil_icons, options: choices.topologies,
      change: (design, name) => setTopology(design, name, choices) },
    { key: "winding.phases", label: "Phases", icons: WAVE_ICONS, options: ["1", "3"], usual: "1",
      labels: { 1: "1 phase", 3: "3 phases" }, change: (design, phases) => setPhases(design, phases, choices) },
    { key: "winding.coils", label: "Coils, of all phases",
      when: (design) => (threePhase(design) && concentrated(design, choices)) || "winding.coils" in design,
      options: (design) =>
        combinations(design, choices).map((
          [coils, factor],
        ) => [String(coils),
          `${coils}: ${ratio(coils, Number(design["carrier.count"]))}, factor ${factor.toFixed(3)}`]
        ), note: () => "Coils to magnets, and the handbook's winding factor." },
    { key: "winding.stacking", label: "Bundles stacked", when: stacked,
      options: () => choices.stackings.map(named(STACKINGS)), usual: "layered" },
    { key: "winding.connection", label: "Connection", when: threePhase,
      options: () => choices.connections.map((name) => [name, name]), usual: "star" },
    mm("winding.inner_radius_mm", "Inner radius", 3, radius),
    mm("winding.outer_radius_mm", "Outer radius", 5, (design) => radius(design) * 1.15),
    mm("winding.width_mm", "Bundle width", 0.5, 20),
    { ...mm("winding.height_mm", "Bundle height", 0.5, 15), note: (
      design,
    ) => (stacked(design) && Number(design["winding.height_mm"])
      ? `Of each phase; ${tidy(3 * Number(design["winding.height_mm"]))} mm in all.`
      : "") },
    { key: "winding.turns", label: "Turns per coil", unit: "", least: 1, most: 400, step: 1 },
    { key: "winding.wire.diameter_mm", label: "Wire, bare copper", unit: "mm",
      options: () => choices.wires.map((wire) => [wire, wire]) },
    { key: "winding.wire.enamel_grade", label: "Enamel grade", options: () => [["1", "1"], ["2", "2: thicker"]] },
    mm("winding.peg_diameter_mm", "Peg diameter", 1, 12, 0.5),
    { key: "winding.fill_factor", label: "Fill factor, at most", unit: "", least: 0.3, most: 0.9, step: 0.01 },
  ]];
}

/**
 * Groups of entries. key, label, unit; least, most, step of a slider; options: values, or a function of the design that
 * gives [value, label] pairs; icons: for choices shown as pictures; usual: what the key's absence means; when: whether
 * the file may have it; change: sets it with what goes with it; after: what else changes; note: words below it.
 * @returns {[string, any[]][]}
 */
export const groups = (choices) => [
  magnets(choices),
  coil(choices),
  ["Running", [
    mm("operation.air_gap_mm", "Air gap", 0.5, 8),
    { key: "operation.speed_rpm", label: "Speed", unit: "rpm", least: 20, most: 2000, step: 10 },
  ]],
  ["Disc", [
    mm("space.outer_diameter_mm", "Outer diameter", 40, 300, 1),
    mm("space.bore_diameter_mm", "Bore diameter", 5, 120, 1),
    mm("space.wall_mm", "Wall around magnets", 0, 8, 0.1),
    { key: "title", label: "Title", text: true, usual: "Untitled" },
  ]],
];
