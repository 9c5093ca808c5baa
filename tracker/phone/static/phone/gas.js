// What temperature alone does to a gas shut in a pipe: the ideal gas law in a fixed
// volume, absolute pressure and temperature. The server judges; this is for the eye.

const AIR_PSI = 14.696; // standard atmosphere at sea level
const ZERO_F = 459.67; // degrees below 0 F to absolute zero

/** Gauge psi at the end in a tight pipe, or null when a reading is missing. */
export function tightEnd({ start_psig: start, start_f: cold, end_f: warm }) {
  if (![start, cold, warm].every(Number.isFinite)) return null;
  return (start + AIR_PSI) * (warm + ZERO_F) / (cold + ZERO_F) - AIR_PSI;
}
