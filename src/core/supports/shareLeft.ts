import type { FootTrim } from './dripOpenings.ts';

/**
 * The share of a disc, by its area, that planes leave of it: each takes a segment of it, r²·(φ − sin φ·cos φ) with
 * cos φ the plane's distance from the middle over r. What two take of one place is counted for both, so this is no more
 * than is left.
 */
export function shareLeft(x: number, y: number, radius: number, trims: readonly FootTrim[]): number {
  const taken = trims.reduce((sum, { normal, least }) => {
    const cos = Math.max(-1, Math.min(1, (normal[0] * x + normal[1] * y - least) / radius));
    return sum + (Math.acos(cos) - cos * Math.sqrt(1 - cos * cos)) / Math.PI;
  }, 0);
  return Math.max(0, 1 - taken);
}
