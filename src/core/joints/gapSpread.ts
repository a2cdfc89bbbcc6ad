import type { GapSpread } from './joint.ts';

/** How gaps are spread over an area; null over none. */
export function gapSpread(
  places: readonly { readonly gapMm: number; readonly areaMm2: number }[],
): GapSpread | null {
  if (places.length === 0) return null;
  const order = Uint32Array.from(places.keys());
  const gaps = Float64Array.from(places, ({ gapMm }) => gapMm);
  order.sort((a, b) => gaps[a]! - gaps[b]! || a - b);
  const areaMm2 = places.reduce((sum, place) => sum + place.areaMm2, 0);
  const under = (share: number): number => {
    let sum = 0;
    for (const n of order) {
      sum += places[n]!.areaMm2;
      if (sum >= share * areaMm2) return gaps[n]!;
    }
    return gaps[order.at(-1)!]!;
  };
  return {
    areaMm2,
    least: gaps[order[0]!]!,
    q5: under(0.05),
    q25: under(0.25),
    median: under(0.5),
    q75: under(0.75),
    q95: under(0.95),
    most: gaps[order.at(-1)!]!,
  };
}
