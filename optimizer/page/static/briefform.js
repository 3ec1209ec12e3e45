// The brief as a form: the keys of the brief's file, each with its unit.

import { choice, field, forgetFields, group, ticks } from "./brieffields.js";
import { goalGroup } from "./briefgoal.js";
import { magnetGroups } from "./briefmagnets.js";
import { byId, html } from "./elements.js";

export { showBriefFaults } from "./brieffields.js";

let offered = null;

const plain = (names) => names.map((name) => [name, name]);

/** Build the form; called again whenever the brief is replaced, or what it asks for changes. */
export function showBrief(choices) {
  offered = choices ?? offered;
  const focused = document.activeElement?.id;
  forgetFields();
  const form = byId("brief");
  form.onsubmit = (event) => event.preventDefault();
  form.replaceChildren(
    group("What for", field("title", "Title", "", { text: true, long: true, usual: "Untitled" })),
    group("Space", field("space.outer_diameter_mm", "Outer diameter, at most", "mm"),
      field("space.bore_diameter_mm", "Bore, kept clear", "mm"), field("space.wall_mm", "Wall around magnets", "mm"),
      field("space.air_gap_mm", "Air gap", "mm"), field("space.coil_height_mm", "Coil height, at most", "mm")),
    group("Speed", field("speed.rpm", "Speed of the disc", "rpm")),
    group("Carrier", choice("rotor.arrangement", "Arrangement", plain(offered.arrangements), { usual: "single" }),
      field("rotor.plate_mm", "Steel plate (0: none)", "mm", { usual: "0" })),
    magnetGroups(offered, showBrief),
    group("Wire", field("wire.length_m", "Wire at hand", "m"), field("wire.resistance_ohm", "Resistance, at most", "Ω"),
      field("wire.fill_factor", "Fill factor, at most"), field("wire.peg_diameter_mm", "Peg diameter, at least", "mm"),
      field("coil.least_layers", "Bundle, at least", "wires high and wide", { usual: "3" }),
      choice("wire.enamel_grade", "Enamel", [["1", "grade 1"], ["2", "grade 2, thicker"]], { usual: "1" })),
    ticks("Wire sizes to choose from, bare copper, mm", "wire.diameters_mm", offered.wires),
    ticks("Coil shapes to try", "coil.topologies", offered.topologies, { usual: offered.usual_topologies.join(", ") }),
    ticks("Numbers of phases to try", "coil.phases", ["1", "3"], { usual: "1",
      labels: { 1: "1 phase", 3: "3 phases" } }),
    goalGroup(offered, showBrief),
    workshop(),
  );
  if (focused) byId(focused)?.focus();
}

/** What the search does not need but the build pack does. */
function workshop() {
  const prices = [["magnet", "One magnet"], ["wire_per_m", "Wire, a metre"], ["wire_per_kg", "Wire, a kilogram"], [
    "plastic_per_kg",
    "Plastic, a kilogram",
  ]];
  return html("details", {}, html("summary", {}, "Printer and prices, for parts and bill of materials"),
    group("Printer", field("printer.bed_mm", "Bed, width and depth: 220, 220", "mm", { text: true })),
    group("Prices", field("prices.currency", "Currency", "", { text: true }),
      ...prices.map(([key, label]) => field(`prices.${key}`, label))));
}
