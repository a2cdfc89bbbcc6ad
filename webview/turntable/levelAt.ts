/** Of levels that stand coarsest first: detail 0 is the finest, and the coarsest is the last to be had. */
export function levelAt<T>(levels: readonly T[], detail: number): T | undefined {
  return levels[Math.max(0, levels.length - 1 - detail)];
}
