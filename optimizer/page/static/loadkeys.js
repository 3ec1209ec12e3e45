// The keys of a load: label, unit, a value to start from.

export const LOAD_KEYS = {
  resistance_ohm: ["Resistance", "Ω", "20"],
  capacitance_uF: ["Capacitance", "µF", "1000"],
  voltage_V: ["Voltage", "V", "5"],
  internal_ohm: ["Internal resistance", "Ω", "0.1"],
  least_input_V: ["Input, at least", "V", "4"],
  efficiency: ["Efficiency", "", "0.85"],
  output_V: ["Output", "V", "5"],
  most_W: ["Power, at most", "W", "10"],
  most_input_V: ["Input bears, at most", "V", ""],
};

/** Values by key that a load of a kind may start from. */
export function usualLoad(kind, offered) {
  const keys = offered.loads.find((load) => load.kind === kind)?.keys ?? [];
  const values = { kind };
  for (const key of keys) if (LOAD_KEYS[key]?.[2] && key !== "internal_ohm") values[key] = LOAD_KEYS[key][2];
  if (keys.includes("diode")) values.diode = "schottky";
  return values;
}
