/** A number as it is typed. The server reads more of them; this asks about the same ones. */

const PLAIN = /^[-+]?(\d+([.,]\d+)?|[.,]\d+)$/;
const TWO_READINGS = /^[-+]?[1-9]\d{0,2}[.,]\d{3}$/;

/** Whether a text can be read with decimals or with thousands: 1.250. */
export function hasTwoReadings(text) {
  return TWO_READINGS.test(text.trim());
}

/** The number; NaN for what has two readings, and for what only the server can read. */
export function readNumber(text) {
  const typed = text.trim();
  return PLAIN.test(typed) && !hasTwoReadings(typed) ? Number(typed.replace(",", ".")) : NaN;
}
