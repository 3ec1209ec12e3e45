// Fields of the panel Use: a label, a value, a unit, and beside it what is wrong with it.

import { state, step } from "./address.js";
import { html } from "./elements.js";
import { showChoice } from "./rows.js";

const places = new Map();
const UNITS = {
  mm: "mm",
  mm2: "mm²",
  N: "N",
  Nm: "N m",
  kg: "kg",
  g: "g",
  minute: "/min",
  deg: "°",
  mAh: "mAh",
  Wh: "Wh",
  V: "V",
  A: "A",
  W: "W",
  J: "J",
  s: "s",
  rpm: "rpm",
  ohm: "Ω",
};

/** Label and unit of a key that has no words of its own. */
export function namedByKey(key) {
  const last = key.split(".").slice(-2).join(": ").replace("mechanism: ", "");
  const unit = last.match(/_([A-Za-z0-9]+)$/)?.[1];
  const known = unit in UNITS;
  const words = (known ? last.slice(0, -unit.length - 1) : last).replaceAll("_", " ").replace(/ per$/, "");
  return [words[0].toUpperCase() + words.slice(1), known ? UNITS[unit] : ""];
}

/**
 * A field for `state[group][key]`. more: `options` ([value, words] each) make it a list, `long` gives it a line of its
 * own, `text` takes it as it is typed (a decimal comma stays), `after` is called when the hand lets go.
 */
export function useField(group, key, [label, unit], more = {}) {
  const id = `u-${group}-${key.replaceAll(".", "-")}`;
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const input = more.options
    ? html("select", { id, "aria-describedby": fault.id })
    : html("input", { type: "text", id, "aria-describedby": fault.id, autocomplete: "off" });
  if (more.options) showChoice(input, more.options, state[group][key] ?? more.usual ?? "");
  else input.value = state[group][key] ?? more.usual ?? "";
  input.addEventListener("input", () => {
    const typed = input.value.trim();
    state[group][key] = more.text || more.options ? typed : typed.replace(",", ".");
    quiet({ input, fault });
  });
  input.addEventListener("change", more.after ?? step);
  places.set(`${group}.${key}`, { input, fault, label });
  return html("div", { class: `field${more.long ? " long" : more.options ? " list" : ""}` },
    html("label", { for: id }, label), input, more.long || more.options ? null : html("span", { class: "unit" }, unit),
    fault);
}

function quiet({ input, fault }) {
  fault.hidden = true;
  fault.textContent = "";
  input.removeAttribute("aria-invalid");
}

/** Forget the fields of a group that is shown anew. */
export function forget(group) {
  for (const key of [...places.keys()]) if (key.startsWith(`${group}.`)) places.delete(key);
}

/** Show words beside the fields they belong to, and put the first such field in focus; returns all words, with the fields' names. */
export function showUseFaults(rows) {
  for (const place of places.values()) quiet(place);
  const told = rows.map(({ key, words }) => {
    const place = placeOf(key, words);
    if (!place) return key ? `${key}: ${words}` : words;
    place.fault.textContent = [place.fault.textContent, words].filter(Boolean).join("; ");
    place.fault.hidden = false;
    place.input.setAttribute("aria-invalid", "true");
    return `${place.label}: ${words}`;
  });
  const wrong = [...places.values()].find((place) => !place.fault.hidden);
  wrong?.input.focus();
  return { told, focused: Boolean(wrong) };
}

/** Of a key, of the list that it is an entry of, or of what the words about a table begin with. */
function placeOf(key, words) {
  return places.get(key) ?? places.get(key.replace(/\.\d+$/, "")) ?? places.get(`${key}.${words.split(" ")[0]}`);
}
