import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { boundsOf } from '../../../src/core/mesh/boundsOf.ts';
import { layerZ } from '../../../src/core/rays/lattice.ts';
import { latticeFor } from '../../../src/core/rays/latticeFor.ts';
import { layerSpans, SPAN_FACETS } from '../../../src/core/rays/layerSpans.ts';
import { torus, transformed } from '../../shapes.ts';

test.each([
  ['an upright ring', torus(9, 3, 47, 33)],
  ['a leaning ring', transformed(torus(9, 3, 60, 41), { turn: [50, 20, 10], shift: [0, 0, 15] })],
])('the layers of %s, corner by corner and block by block', (_, mesh) => {
  const lattice = latticeFor(boundsOf(mesh.positions), 0.1, 0.05);
  const { cornerLayer, blockLow, blockHigh } = layerSpans(mesh, lattice, uninterrupted);
  for (let v = 0; v < cornerLayer.length; v++) {
    const z = mesh.positions[3 * v + 2]!;
    const layer = cornerLayer[v]!;
    if (layer > 0) expect(layerZ(lattice, layer - 1)).toBeLessThan(z);
    if (layer < lattice.layers) expect(layerZ(lattice, layer)).toBeGreaterThanOrEqual(z);
  }
  const facets = mesh.triangles.length / 3;
  expect(blockLow.length).toBe(Math.ceil(facets / SPAN_FACETS));
  expect(facets % SPAN_FACETS).not.toBe(0);
  for (let block = 0; block < blockLow.length; block++) {
    const corners = mesh.triangles.subarray(3 * SPAN_FACETS * block, 3 * SPAN_FACETS * (block + 1));
    const layers = Array.from(corners, (v) => cornerLayer[v]!);
    expect([blockLow[block], blockHigh[block]]).toEqual([Math.min(...layers), Math.max(...layers)]);
  }
});

test('listens to a cancel, over the corners and over the facets', () => {
  const mesh = torus(9, 3, 47, 33);
  const lattice = latticeFor(boundsOf(mesh.positions), 0.1, 0.05);
  for (const last of [1, 2]) {
    let calls = 0;
    const stopping = (): void => {
      if (++calls === last) throw new Error('cancelled');
    };
    expect(() => layerSpans(mesh, lattice, stopping)).toThrow('cancelled');
  }
});
