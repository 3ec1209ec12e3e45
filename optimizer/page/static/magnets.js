// Magnet shapes: their sizes, and what a magnet of one shape becomes in another.

export const SHAPE_ICONS = {
  disc: "M12 4a8 8 0 1 1 0 16a8 8 0 1 1 0-16",
  ring: "M12 4a8 8 0 1 1 0 16a8 8 0 1 1 0-16M12 9a3 3 0 1 1 0 6a3 3 0 1 1 0-6",
  block: "M5 4H19V20H5z",
  arc: "M6 20 3 7a16 16 0 0 1 18 0l-3 13a10 10 0 0 0-12 0z",
};

/** Sizes by key: label, unit. */
export const SIZES = {
  diameter_mm: ["Diameter", "mm"],
  bore_mm: ["Hole", "mm"],
  length_mm: ["Length, radial", "mm"],
  width_mm: ["Width, across", "mm"],
  inner_radius_mm: ["Inner radius", "mm"],
  outer_radius_mm: ["Outer radius", "mm"],
  angle_deg: ["Angle", "°"],
};

const USUAL = 10; // mm, where a size is no number
const degrees = (angle) => (angle * 180) / Math.PI;

/** A number as the files have it, without what binary fractions leave. */
export const tidy = (value) => String(Number(Number(value).toFixed(6)));

function size(values, key) {
  const found = Number(values[key]);
  return found > 0 ? found : USUAL;
}

/**
 * Length along the radius and width across it, mm.
 * @returns {[number, number]}
 */
function face(shape, values) {
  if (shape === "block") return [size(values, "length_mm"), size(values, "width_mm")];
  if (shape !== "arc") return [size(values, "diameter_mm"), size(values, "diameter_mm")];
  const [inner, outer] = [size(values, "inner_radius_mm"), size(values, "outer_radius_mm")];
  const width = (inner + outer) * Math.sin((Math.min(size(values, "angle_deg"), 179) * Math.PI) / 360);
  return [outer > inner ? outer - inner : USUAL, width];
}

function arc([length, width], { pitch, count, wall }) {
  const long = Math.min(length, 1.8 * pitch);
  const inner = pitch - long / 2;
  const wide = 2 * Math.asin(Math.min(width / 2 / pitch, 1));
  const free = 2 * (Math.PI / count - Math.asin(Math.min(wall / 2 / inner, 1)));
  const angle = Math.floor(degrees(free > 0 ? Math.min(wide, free) : wide) * 10 + 1e-6) / 10;
  return { inner_radius_mm: tidy(inner), outer_radius_mm: tidy(pitch + long / 2),
    angle_deg: tidy(Math.min(Math.max(angle, 0.1), 179)) };
}

/** Sizes of a shape that takes about the place of a face. */
function shaped(shape, [length, width], place) {
  const across = Math.round(Math.min(length, width) * 10) / 10;
  if (shape === "block") return { length_mm: tidy(length), width_mm: tidy(Math.round(width * 100) / 100) };
  if (shape === "arc") return arc([length, width], place);
  if (shape === "ring") {
    return { diameter_mm: tidy(across), bore_mm: tidy(Math.max(Math.round(across / 1.5) / 2, across / 4)) };
  }
  return { diameter_mm: tidy(across) };
}

const alike = (one, other) => Object.keys(one).every((key) => one[key] === other[key]);

/**
 * A function that gives a magnet's sizes in another shape. values: its sizes by key; place: pitch radius (mm), number
 * of magnets and wall (mm), for arcs. What was in that shape before is given back when it would lead to what is there.
 */
export function reshaper() {
  const left = {};
  return (from, to, values, place) => {
    left[from] = { ...values };
    const before = left[to];
    if (before && alike(shaped(from, face(to, before), place), values)) return before;
    return shaped(to, face(from, values), place);
  };
}
