/** Powers of ten that a float64 holds exactly. */
const powersOfTen = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
const exactDigits = 15;
const longestToken = 400;

/**
 * The decimal number in bytes[start … end), or null when it is none. Words for infinity and
 * not-a-number give NaN, so that the caller can tell a broken value from a broken file.
 *
 * Up to 15 digits and powers to 10²² take one exact multiplication or division, which rounds
 * correctly (Clinger 1990, "How to read floating point numbers accurately"); the rest goes through
 * `Number`.
 */
export function parseNumber(bytes: Uint8Array, start: number, end: number): number | null {
  let at = start;
  const negative = bytes[at] === 45;
  if (negative || bytes[at] === 43) at++;
  let mantissa = 0;
  let digits = 0;
  let seen = 0;
  let power = 0;
  let point = false;
  for (; at < end; at++) {
    const byte = bytes[at]!;
    if (byte >= 48 && byte <= 57) {
      seen++;
      if (digits > 0 || byte !== 48) digits++;
      mantissa = mantissa * 10 + (byte - 48);
      if (point) power--;
    } else if (byte === 46 && !point) point = true;
    else break;
  }
  if (seen === 0) return wordForNoNumber(bytes, at, end) ? Number.NaN : null;
  if (at < end) {
    const exponent = parseExponent(bytes, at, end);
    if (exponent === null) return bytes[at] === 35 ? Number.NaN : null;
    power += exponent;
  }
  if (digits > exactDigits || power < -22 || power > 22) return slowNumber(bytes, start, end);
  const value = power < 0 ? mantissa / powersOfTen[-power]! : mantissa * powersOfTen[power]!;
  return negative ? -value : value;
}

function parseExponent(bytes: Uint8Array, start: number, end: number): number | null {
  if ((bytes[start]! | 32) !== 101) return null;
  let at = start + 1;
  const negative = bytes[at] === 45;
  if (negative || bytes[at] === 43) at++;
  if (at >= end) return null;
  let value = 0;
  for (; at < end; at++) {
    const digit = bytes[at]! - 48;
    if (digit < 0 || digit > 9) return null;
    value = Math.min(value * 10 + digit, 100_000);
  }
  return negative ? -value : value;
}

function slowNumber(bytes: Uint8Array, start: number, end: number): number | null {
  if (end - start > longestToken) return null;
  return Number(String.fromCharCode(...bytes.subarray(start, end)));
}

/** `nan`, `inf`, `infinity` and what some runtimes append to them, past the sign. */
function wordForNoNumber(bytes: Uint8Array, at: number, end: number): boolean {
  if (end - at < 3 || end - at > 16) return false;
  const word = String.fromCharCode(...bytes.subarray(at, at + 3)).toLowerCase();
  return word === 'nan' || word === 'inf' || word === 'ind';
}
