// Magnets in a form: their shapes' sizes, what a magnet of one shape becomes in another, grades and remanences.

import { fieldOf, forms, tidy } from "./fields.js";

/**
 * @typedef {Record<string, string>} Values of a magnet's sizes, or of a form, by key
 * @typedef {{pitch: number, count: number, wall: number}} Where arcs stand: pitch radius and wall in mm
 */

const USUAL = 10; // mm, where a size is no number
const NO_GRADE = "none";
/** @type {Record<string, Record<string, Values>>} The sizes that a magnet had in each shape, by what its keys begin with. */
const left = {};

/** @param {Values} values @param {string} key */
function size(values, key) {
  const found = Number(values[key]);
  return found > 0 ? found : USUAL;
}

/**
 * Length along the radius and width across it, mm.
 * @param {string} shape
 * @param {Values} values
 * @returns {[number, number]}
 */
function face(shape, values) {
  if (shape === "block") return [size(values, "length_mm"), size(values, "width_mm")];
  if (shape !== "arc") return [size(values, "diameter_mm"), size(values, "diameter_mm")];
  const [inner, outer] = [size(values, "inner_radius_mm"), size(values, "outer_radius_mm")];
  const width = (inner + outer) * Math.sin((Math.min(size(values, "angle_deg"), 179) * Math.PI) / 360);
  return [outer > inner ? outer - inner : USUAL, width];
}

/** @param {[number, number]} face @param {Where} place */
function arc([length, width], { pitch, count, wall }) {
  const long = Math.min(length, 1.8 * pitch);
  const inner = pitch - long / 2;
  const wide = 2 * Math.asin(Math.min(width / 2 / pitch, 1));
  const free = 2 * (Math.PI / count - Math.asin(Math.min(wall / 2 / inner, 1)));
  const angle = Math.floor((1800 / Math.PI) * (free > 0 ? Math.min(wide, free) : wide) + 1e-6) / 10;
  return { inner_radius_mm: tidy(inner), outer_radius_mm: tidy(pitch + long / 2),
    angle_deg: tidy(Math.min(Math.max(angle, 0.1), 179)) };
}

/**
 * Sizes of a shape that takes about the place of a face.
 * @param {string} shape
 * @param {[number, number]} face
 * @param {Where} place
 * @returns {Values}
 */
function shaped(shape, [length, width], place) {
  const across = Math.round(Math.min(length, width) * 10) / 10;
  if (shape === "block") return { length_mm: tidy(length), width_mm: tidy(Math.round(width * 100) / 100) };
  if (shape === "arc") return arc([length, width], place);
  if (shape === "ring") {
    return { diameter_mm: tidy(across), bore_mm: tidy(Math.max(Math.round(across / 1.5) / 2, across / 4)) };
  }
  return { diameter_mm: tidy(across) };
}

/**
 * Give a magnet another shape, of about the sizes that it had, or of those that it had in that shape if they still lead
 * to these.
 * @param {Values} values of a form
 * @param {string} before the magnet's keys
 * @param {string} to
 * @param {Where} place
 */
export function reshape(values, before, to, place) {
  const from = values[`${before}shape`] ?? "disc";
  const keys = Object.values(forms.sizes).flat().filter((key) => before + key in values);
  const own = Object.fromEntries(keys.map((key) => [key, values[before + key]]));
  left[before] = { ...left[before], [from]: own };
  const earlier = left[before][to];
  const again = earlier && shaped(from, face(to, earlier), place);
  const same = again && Object.keys(again).every((key) => again[key] === own[key]);
  const sizes = same ? earlier : shaped(to, face(from, own), place);
  for (const key of keys) delete values[before + key];
  values[`${before}shape`] = to;
  for (const key of forms.sizes[to]) values[before + key] = sizes[key];
}

/**
 * How a form asks for a magnet's grade: none is of a stated remanence, at first that of the grade before.
 * @param {"brief" | "design"} form
 * @param {() => Values} values of the form
 * @param {string} before the magnet's keys
 * @param {() => void} [changed]
 */
export const gradeField = (form, values, before, changed) => ({
  empty: NO_GRADE,
  choices:
    () => /** @type {[string, string][]} */ ([...(fieldOf(form, `${before}grade`).options ?? []), [NO_GRADE,
      "none: by its remanence or pull"]]),
  set: (/** @type {string} */ grade) => {
    regrade(values(), before, grade);
    changed?.();
  },
});

/** @param {Values} values @param {string} before @param {string} grade */
function regrade(values, before, grade) {
  const known = values[`${before}grade`];
  if (grade !== NO_GRADE) {
    if (known === undefined) { for (const key of ["remanence_T", "recoil_permeability"]) delete values[before + key]; }
    values[`${before}grade`] = grade;
    return;
  }
  const [remanence, recoil] = forms.remanences[known] ?? [1.2, 1.05];
  delete values[`${before}grade`];
  values[`${before}remanence_T`] ??= tidy(remanence);
  values[`${before}recoil_permeability`] ??= tidy(recoil);
}
