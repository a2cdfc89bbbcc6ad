import { describe, expect, test } from 'vitest';
import { limbsOf } from '../../../src/core/layers/limbs.ts';
import type { VoidGraph } from '../../../src/core/layers/voidGraph.ts';

/** A graph of layers with so many regions each; contacts join a region with one of the layer below. */
function graphOf(
  regionsOfLayer: readonly number[],
  contacts: readonly (readonly [below: number, above: number])[],
  open: readonly number[] = [],
): VoidGraph {
  const regionStart = Uint32Array.from([0, ...regionsOfLayer]);
  for (let layer = 1; layer < regionStart.length; layer++) regionStart[layer]! += regionStart[layer - 1]!;
  const regions = regionStart.at(-1)!;
  const layerOf = (region: number): number => regionStart.findLastIndex((start) => start <= region);
  const sorted = [...contacts].sort((a, b) => a[1] - b[1]);
  const contactStart = Uint32Array.from(
    { length: regionsOfLayer.length + 1 },
    (_, layer) => sorted.filter(([, above]) => layerOf(above) < layer).length,
  );
  return {
    layers: regionsOfLayer.length,
    layerHeight: 0.05,
    regionStart,
    contactStart,
    area: new Float64Array(regions).fill(1),
    enclosed: Uint8Array.from({ length: regions }, (_, region) => (open.includes(region) ? 0 : 1)),
    centroid: new Float32Array(2 * regions),
    rowSpan: new Uint32Array(regions).fill(9),
    chamber: new Int32Array(regions),
    contactBelow: Uint32Array.from(sorted, ([below]) => below),
    contactAbove: Uint32Array.from(sorted, ([, above]) => above),
    contactArea: new Float64Array(sorted.length).fill(1),
  };
}

describe('limbs of a chamber', () => {
  // Two legs (0, 2, 4 and 1, 3) that meet in 5, from which two arms rise (6, 8 and 7).
  const body = graphOf(
    [2, 2, 1, 1, 2, 1],
    [
      [0, 2],
      [1, 3],
      [2, 4],
      [4, 5],
      [3, 4],
      [5, 6],
      [5, 7],
      [6, 8],
    ],
  );

  test('from the plate, two legs are two limbs until they meet; then the lower one goes on', () => {
    expect([...limbsOf(body).fromPlate]).toEqual([0, 1, 0, 1, 0, 0, 0, 0, 0]);
  });

  test('from the film, two arms are two limbs down to where they meet; both legs hang under the higher one', () => {
    expect([...limbsOf(body).fromFilm]).toEqual([8, 8, 8, 8, 8, 8, 8, 7, 8]);
  });

  test('what is open to the outside joins nothing', () => {
    const opened = graphOf(
      [1, 1, 1],
      [
        [0, 1],
        [1, 2],
      ],
      [1],
    );
    expect([...limbsOf(opened).fromPlate]).toEqual([0, 1, 2]);
    expect([...limbsOf(opened).fromFilm]).toEqual([0, 1, 2]);
  });
});
