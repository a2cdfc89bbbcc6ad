import { describe, expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { makeReady } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import * as shapes from '../../shapes.ts';

const figure = shapes.loadSharedMesh('human_cc0');

describe.skipIf(figure === null)('a standing figure of 190 mm', () => {
  test('cavity at 1.5 mm: 54 171 mm³ by exact distances, and the kernel takes part and cavity', async () => {
    const result = hollow(figure!, { wallMm: 1.5, leastChamberMm3: 0, maxNodes: 3e7 }, uninterrupted);
    if (!result.ok) throw new Error(result.error.message);
    const { mesh, thinnest } = result.value;
    expect(isClosed(mesh)).toBe(true);
    expect(shapes.volumeOf(mesh) / 54171).toBeGreaterThan(0.999);
    expect(shapes.volumeOf(mesh) / 54171).toBeLessThan(1.001);
    expect(thinnest?.wallMm).toBeGreaterThan(1.4);
    const kernel = await openSolid();
    const ready = makeReady(kernel, figure!, mesh, [], uninterrupted);
    if (!ready.ok) throw new Error(ready.error.message);
    const solid = kernel.Manifold.ofMesh(
      new kernel.Mesh({
        numProp: 3,
        vertProperties: ready.value.mesh.positions,
        triVerts: ready.value.mesh.triangles,
      }),
    );
    expect(solid.status()).toBe('NoError');
    expect(solid.volume() / (81443.7 - shapes.volumeOf(mesh))).toBeCloseTo(1, 4);
    solid.delete();
  }, 120_000);
});
