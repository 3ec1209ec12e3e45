// What follows in a layout from its number of phases: coils, stacking, connection; each only where the file may have it.

const FOLLOWING = ["winding.coils", "winding.stacking", "winding.connection"];
const left = {};

/** Whether each sector has a coil of its own; a serpentine runs through all. */
export const concentrated = (design, choices) => choices.concentrated.includes(design["winding.topology"]);

export const threePhase = (design) => design["winding.phases"] === "3";

/** Numbers of coils that make three phases with the design's magnets: [coils, handbook winding factor] each. */
export const combinations = (design, choices) => choices.combinations[Number(design["carrier.count"])] ?? [];

/** Coils to magnets in least terms: "3:4". */
export function ratio(coils, poles) {
  let [a, b] = [coils, poles];
  while (b) [a, b] = [b, a % b];
  return `${coils / a}:${poles / a}`;
}

function take(design, key) {
  if (key in design) left[key] = design[key];
  delete design[key];
}

function give(design, key) {
  if (key in left && !(key in design)) design[key] = left[key];
}

function giveCoils(design, choices) {
  if ("winding.coils" in design) return;
  const known = combinations(design, choices).map(([coils]) => coils);
  const usual = 0.75 * Number(design["carrier.count"]);
  const [nearest] = [...known].sort((a, b) => Math.abs(a - usual) - Math.abs(b - usual));
  if (known.includes(Number(left["winding.coils"]))) give(design, "winding.coils");
  else if (nearest) design["winding.coils"] = String(nearest);
}

/** Set the number of phases, and what goes with it. */
export function setPhases(design, phases, choices) {
  if (phases === "3") design["winding.phases"] = "3";
  else take(design, "winding.phases");
  follow(design, choices);
}

/** Set the coil shape, and what goes with it. */
export function setTopology(design, topology, choices) {
  design["winding.topology"] = topology;
  follow(design, choices);
}

function follow(design, choices) {
  const three = threePhase(design);
  const coils = concentrated(design, choices);
  for (const key of FOLLOWING) if (!three) take(design, key);
  if (!three) return;
  give(design, "winding.connection");
  if (coils) {
    take(design, "winding.stacking");
    giveCoils(design, choices);
  } else {
    take(design, "winding.coils");
    give(design, "winding.stacking");
  }
}
