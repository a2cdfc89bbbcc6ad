import type { GapSpread } from './joint.ts';

/** How gaps are spread over an area; null over none. */
export function gapSpread(
  places: readonly { readonly gapMm: number; readonly areaMm2: number }[],
): GapSpread | null {
  if (places.length === 0) return null;
  const sorted = [...places].sort((a, b) => a.gapMm - b.gapMm);
  const areaMm2 = sorted.reduce((sum, place) => sum + place.areaMm2, 0);
  const under = (share: number): number => {
    let sum = 0;
    for (const { gapMm, areaMm2: own } of sorted) {
      sum += own;
      if (sum >= share * areaMm2) return gapMm;
    }
    return sorted.at(-1)!.gapMm;
  };
  return {
    areaMm2,
    least: sorted[0]!.gapMm,
    q5: under(0.05),
    q25: under(0.25),
    median: under(0.5),
    q75: under(0.75),
    q95: under(0.95),
    most: sorted.at(-1)!.gapMm,
  };
}
