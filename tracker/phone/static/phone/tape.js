// A tape measure: inches and sixteenths, kept as whole sixteenths.

/** 12 1/2" for 200 sixteenths, -1/16" for -1: the same in both languages. */
export function inches(sixteenths) {
  const sign = sixteenths < 0 ? "-" : "";
  const whole = Math.floor(Math.abs(sixteenths) / 16);
  let top = Math.abs(sixteenths) % 16;
  let bottom = 16;
  while (top && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const part = top ? `${top}/${bottom}` : "";
  const words = [whole || !part ? String(whole) : "", part].filter(Boolean).join(" ");
  return `${sign}${words}"`;
}

/** Sixteenths of what was keyed: whole inches (text of digits) and sixteenths. */
export function sixteenthsOf(whole, part) {
  if (!/^\d{0,4}$/.test(whole)) return null;
  if (!Number.isInteger(part) || part < 0 || part > 15) return null;
  if (whole === "" && part === 0) return null;
  return Number(whole || "0") * 16 + part;
}

/** By how many sixteenths a reading misses [low, high]; 0 when it is inside. */
export function missesBy(sixteenths, { low, high }) {
  if (low !== null && low !== undefined && sixteenths < low) return sixteenths - low;
  if (high !== null && high !== undefined && sixteenths > high) return sixteenths - high;
  return 0;
}
