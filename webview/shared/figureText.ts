/** A figure as it is read aloud: no more digits than its size warrants, no trailing zeros. */
export function figureText(value: number, unit: string): string {
  const size = Math.abs(value);
  const digits = size >= 10 ? 0 : size >= 1 ? 1 : 2;
  return `${Number(value.toFixed(digits))} ${unit}`.trimEnd();
}
