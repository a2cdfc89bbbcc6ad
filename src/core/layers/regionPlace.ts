import type { VoidGraph } from './voidGraph.ts';

/** Centroid of a region, at the plate side of its layer. Print frame, mm. */
export function startOfRegion(graph: VoidGraph, region: number): [number, number, number] {
  const { centroid, layerHeight } = graph;
  return [centroid[2 * region]!, centroid[2 * region + 1]!, layerOfRegion(graph, region) * layerHeight];
}

export function layerOfRegion({ regionStart }: Pick<VoidGraph, 'regionStart'>, region: number): number {
  let low = 0;
  let high = regionStart.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (regionStart[middle]! <= region) low = middle;
    else high = middle;
  }
  return low;
}
