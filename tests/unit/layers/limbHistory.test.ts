import { expect, test } from 'vitest';
import { limbHistories } from '../../../src/core/layers/limbHistory.ts';
import { sweepCups } from '../../../src/core/layers/sweepCups.ts';
import type { VoidGraph } from '../../../src/core/layers/voidGraph.ts';

/** Two legs (0, 2 and 1, 3) that meet in 4, under a last layer 5. */
const body: VoidGraph = {
  layers: 4,
  layerHeight: 0.05,
  regionStart: Uint32Array.of(0, 2, 4, 5, 6),
  contactStart: Uint32Array.of(0, 0, 2, 4, 5),
  contactBelow: Uint32Array.of(0, 1, 2, 3, 4),
  contactAbove: Uint32Array.of(2, 3, 4, 4, 5),
  contactArea: new Float64Array(5).fill(1),
  area: new Float64Array(6).fill(1),
  enclosed: new Uint8Array(6).fill(1),
  centroid: new Float32Array(12),
  rowSpan: new Uint32Array(6).fill(9),
  chamber: new Int32Array(6),
};

test('a place in the second leg is of that leg until the legs meet, then of the first', () => {
  expect(limbHistories(body, [3, 2, 5])).toEqual([
    { layer: [1, 2], limb: [1, 0] },
    { layer: [1], limb: [0] },
    { layer: [3], limb: [0] },
  ]);
});

test('limbs are named as the sweep of the cups names them', () => {
  const limbs = sweepCups(body, []).flatMap(({ states }) => states.map(({ layer, limb }) => [layer, limb]));
  for (const { layer, limb } of limbHistories(body, [0, 1, 3, 4, 5]))
    layer.forEach((at, n) => {
      expect(limbs).toContainEqual([at, limb[n]]);
    });
});

test('what is open to the outside joins nothing', () => {
  const opened = { ...body, enclosed: Uint8Array.of(1, 1, 1, 1, 0, 1) };
  expect(limbHistories(opened, [3])).toEqual([{ layer: [1], limb: [1] }]);
});
