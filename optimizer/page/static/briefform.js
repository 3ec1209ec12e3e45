// The brief as a form: the keys of the brief's file, each with its unit.

import { byId, html } from "./elements.js";
import { state, step } from "./address.js";

const FIELDS = [
  ["What for", [["title", "Title", ""]]],
  ["Space", [["space.outer_diameter_mm", "Outer diameter, at most", "mm"], ["space.bore_diameter_mm", "Bore, kept clear", "mm"],
    ["space.wall_mm", "Wall around magnets", "mm"], ["space.air_gap_mm", "Air gap", "mm"], ["space.coil_height_mm", "Coil height, at most", "mm"]]],
  ["Speed", [["speed.rpm", "Speed of the disc", "rpm"]]],
  ["Wire", [["wire.length_m", "Wire at hand", "m"], ["wire.resistance_ohm", "Resistance, at most", "Ω"],
    ["wire.fill_factor", "Fill factor, at most", ""], ["wire.peg_diameter_mm", "Peg diameter, at least", "mm"]]],
];
const MAGNET = [["diameter_mm", "Diameter", "mm"], ["thickness_mm", "Thickness", "mm"], ["quantity", "At hand (empty: any number)", ""]];
const GOALS = { emf_rms: "highest voltage", power: "most power into a matched load" };

const faults = new Map();
let offered = null;

/** Build the form; called again whenever the brief is replaced. */
export function showBrief(choices) {
  offered = choices ?? offered;
  faults.clear();
  const form = byId("brief");
  form.onsubmit = (event) => event.preventDefault();
  form.replaceChildren(...FIELDS.map(([name, fields]) =>
    html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields.map((entry) => field(...entry))))),
  magnets(),
  ticks("Wire sizes to choose from, bare copper, mm", "wire.diameters_mm", offered.wires),
  ticks("Coil shapes to try", "coil.topologies", offered.topologies),
  goal());
}

function field(key, label, unit) {
  const id = `b-${key.replaceAll(".", "-")}`;
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const input = html("input", { type: "text", id, inputmode: key === "title" ? "text" : "decimal", "aria-describedby": `${id}-fault`,
    oninput: () => set(key, key === "title" ? input.value : input.value.trim().replace(",", ".")), onchange: step });
  input.value = state.brief[key] ?? "";
  faults.set(key, { fault, input });
  return html("div", { class: key === "title" ? "field long" : "field" }, html("label", { for: id }, label), input, unit ? html("span", { class: "unit" }, unit) : null, fault);
}

function set(key, value) {
  if (value === "") delete state.brief[key];
  else state.brief[key] = value;
}

const entries = () => [...new Set(Object.keys(state.brief).map((key) => key.match(/^magnets\.(\d+)\./)?.[1]).filter(Boolean))].map(Number).sort((a, b) => a - b);

function magnets() {
  const group = html("fieldset", {}, html("legend", {}, "Magnets that can be had"));
  for (const number of entries()) {
    const before = `magnets.${number}.`;
    const graded = !state.brief[`${before}remanence_T`];
    group.append(html("div", { class: "magnet", role: "group", "aria-label": `Magnet ${number}` },
      html("div", { class: "fields" },
        ...MAGNET.map(([key, label, unit]) => field(before + key, label, unit)),
        graded ? gradeField(before) : field(`${before}remanence_T`, "Remanence", "T")),
      entries().length > 1 ? html("button", { type: "button", "aria-label": `Remove magnet ${number}`, onclick: () => remove(number) }, "Remove") : null));
  }
  group.append(html("button", { type: "button", onclick: add }, "Add a magnet"));
  return group;
}

function gradeField(before) {
  const id = `b-${before.replaceAll(".", "-")}grade`;
  const list = html("select", { id, onchange: () => { set(`${before}grade`, list.value); step(); } },
    ...offered.grades.map((grade) => html("option", { value: grade }, grade)));
  list.value = state.brief[`${before}grade`] ?? "";
  return html("div", { class: "field" }, html("label", { for: id }, "Grade"), list);
}

function add() {
  const before = `magnets.${Math.max(0, ...entries()) + 1}.`;
  Object.assign(state.brief, { [`${before}shape`]: "disc", [`${before}diameter_mm`]: "10", [`${before}thickness_mm`]: "3", [`${before}grade`]: "N42" });
  step();
  showBrief();
}

function remove(number) {
  const left = entries().filter((entry) => entry !== number);
  const old = { ...state.brief };
  for (const key of Object.keys(old)) if (key.startsWith("magnets.")) delete state.brief[key];
  left.forEach((entry, at) => {
    for (const [key, value] of Object.entries(old)) {
      const before = `magnets.${entry}.`;
      if (key.startsWith(before)) state.brief[`magnets.${at + 1}.${key.slice(before.length)}`] = value;
    }
  });
  step();
  showBrief();
}

function ticks(name, key, options) {
  const chosen = () => (state.brief[key] ?? "").split(",").map((part) => part.trim()).filter(Boolean);
  const fault = html("p", { class: "fault", id: `b-${key}-fault`, hidden: true });
  const boxes = [...new Set([...options, ...chosen()])].map((option) => {
    const box = html("input", { type: "checkbox", value: option, onchange: () => {
      const now = new Set(chosen());
      if (box.checked) now.add(option);
      else now.delete(option);
      set(key, boxes.map((label) => label.firstChild).filter((other) => now.has(other.value)).map((other) => other.value).join(", "));
      step();
    } });
    box.checked = chosen().includes(option);
    return html("label", { class: "check" }, box, ` ${option}`);
  });
  faults.set(key, { fault, input: boxes[0]?.firstChild });
  return html("fieldset", {}, html("legend", {}, name), html("div", { class: "ticks" }, ...boxes), fault);
}

function goal() {
  const radios = Object.entries(GOALS).filter(([name]) => offered.goals.includes(name)).map(([name, words]) => {
    const radio = html("input", { type: "radio", name: "goal", value: name, onchange: () => { set("goal.maximise", name); step(); } });
    radio.checked = (state.brief["goal.maximise"] ?? "emf_rms") === name;
    return html("label", { class: "check" }, radio, ` ${words}`);
  });
  return html("fieldset", {}, html("legend", {}, "Goal"), html("div", { class: "ticks" }, ...radios));
}

/** Show words beside the fields they belong to; returns the words that belong to none. */
export function showBriefFaults(rows) {
  for (const { fault, input } of faults.values()) {
    fault.hidden = true;
    fault.textContent = "";
    input?.removeAttribute("aria-invalid");
  }
  const left = [];
  for (const { key, words } of rows) {
    const place = faults.get(key) ?? faults.get(key.replace(/\.\d+$/, ""));
    if (!place) {
      left.push(key ? `${key}: ${words}` : words);
      continue;
    }
    place.fault.hidden = false;
    place.fault.append(place.fault.textContent ? `; ${words}` : words);
    place.input?.setAttribute("aria-invalid", "true");
  }
  return left;
}
