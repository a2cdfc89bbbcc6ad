/**
 * Triangles of the refined levels at most, coarsest first: a mesh that is light enough is drawn as it
 * is. And what a turned normal weighs against a distance (of the whole extent): it keeps folds that a
 * distance alone would let go, at the price of some distance where triangles are few.
 */
export const refinedLevels = [
  { triangles: 12_000, normalWeight: 0.1 },
  { triangles: 120_000, normalWeight: 0.5 },
  { triangles: 600_000, normalWeight: 0.5 },
] as const;
