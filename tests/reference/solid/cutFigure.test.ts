import { describe, expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import { normalized, type Vec3 } from '../../../src/core/vector.ts';
import { cutWhole } from '../../../src/solid/cutWhole.ts';
import { makeReady } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import * as shapes from '../../shapes.ts';

const figure = shapes.loadSharedMesh('human_cc0');

/** Reference: manifold-3d's boolean of the whole part, and its own volume of the result. */
describe.skipIf(figure === null)('vents all over a standing figure', () => {
  test('the kernel takes the result and finds the volume of the whole boolean', async () => {
    const hollowed = hollow(figure!, { wallMm: 1.5, leastChamberMm3: 0, maxNodes: 3e7 }, uninterrupted);
    if (!hollowed.ok) throw new Error(hollowed.error.message);
    const cavity = hollowed.value.mesh;
    const next = shapes.random(77);
    const { positions, triangles } = figure!;
    const corner = (facet: number, k: number): Vec3 =>
      [0, 1, 2].map((axis) => positions[3 * triangles[3 * facet + k]! + axis]!) as unknown as Vec3;
    const cutters = Array.from({ length: 12 }, () => {
      const facet = Math.floor(next() * (triangles.length / 3));
      const [a, b, c] = [corner(facet, 0), corner(facet, 1), corner(facet, 2)];
      const u = b.map((value, axis) => value - a[axis]!) as unknown as Vec3;
      const v = c.map((value, axis) => value - a[axis]!) as unknown as Vec3;
      const axis = normalized([
        v[1] * u[2] - v[2] * u[1],
        v[2] * u[0] - v[0] * u[2],
        v[0] * u[1] - v[1] * u[0],
      ]);
      return cutterMesh({ id: 'vents/0', kind: 'vent', mouth: a, axis, radius: 1.5, depth: 4, outward: 1 });
    });
    const kernel = await openSolid();
    const ready = makeReady(kernel, figure!, cavity, cutters, uninterrupted);
    if (!ready.ok) throw new Error(ready.error.message);
    const { mesh, notes } = ready.value;
    expect(notes).toEqual([]);
    const solid = kernel.Manifold.ofMesh(
      new kernel.Mesh({ numProp: 3, vertProperties: mesh.positions, triVerts: mesh.triangles }),
    );
    expect(solid.status()).toBe('NoError');
    const whole = cutWhole(kernel, shapes.join(figure!, shapes.reversed(cavity)), cutters);
    if (!whole.ok) throw new Error(whole.error.message);
    expect(Math.abs(solid.volume() / shapes.volumeOf(whole.value) - 1)).toBeLessThan(1e-6);
    solid.delete();
  }, 120_000);
});
