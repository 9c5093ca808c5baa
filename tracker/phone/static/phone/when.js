// Days and times in the person's language, by a clock put right by the server's.

import { app } from "./app.js";

const LOCALES = { en: "en-US", es: "es-US" };

/** "Friday, Nov 27" for "2026-11-27". */
export function showDay(iso) {
  return new Date(`${iso}T12:00:00`).toLocaleDateString(LOCALES[app.lang],
    { weekday: "long", day: "numeric", month: "short" });
}

/** "Nov 27, 9:05 AM" for a moment. */
export const when = (iso) => new Date(iso).toLocaleString(LOCALES[app.lang],
  { month: "short", day: "numeric", hour: "numeric", minute: "2-digit" });

/** How far a clock is off: "3 h", "12 min", "2 d", as large as it is. */
export function span(milliseconds) {
  const minutes = Math.round(Math.abs(milliseconds) / 60_000);
  if (minutes < 90) return `${minutes} min`;
  return minutes < 48 * 60 ? `${Math.round(minutes / 60)} h` : `${Math.round(minutes / 1440)} d`;
}
