import { describe, expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import type { PlacedOpening } from '../../../src/core/openings/opening.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { makeReady } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import * as shapes from '../../shapes.ts';

const bore = (mouth: PlacedOpening['mouth'], axis: PlacedOpening['axis'], radius: number, depth: number) =>
  cutterMesh({ id: 'vents/0', kind: 'vent', mouth, axis, radius, depth, outward: 0.5 });

/** Volume of the result, which must have been made. */
async function ready(outer: Mesh, cavity: Mesh | null, cutters: Mesh[]): Promise<Mesh> {
  const result = makeReady(await openSolid(), outer, cavity, cutters, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return result.value.mesh;
}

/** Bit-exact weld of the loose facets, as a reader of the STL would do. */
function weldExactly(soup: Float32Array): Mesh {
  const numbers = new Map<string, number>();
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let at = 0; at < soup.length; at += 3) {
    const key = `${soup[at]! + 0} ${soup[at + 1]! + 0} ${soup[at + 2]! + 0}`;
    if (!numbers.has(key)) {
      numbers.set(key, numbers.size);
      positions.push(soup[at]!, soup[at + 1]!, soup[at + 2]!);
    }
    triangles.push(numbers.get(key)!);
  }
  return shapes.meshOf(positions, triangles);
}

describe('makeReady', () => {
  const outer = shapes.transformed(shapes.box(40), { shift: [0.3, 0.2, 0.1] });
  const inner = shapes.transformed(shapes.box(37), { shift: [1.8, 1.7, 1.6] });

  test('without openings the outer facets stay to the bit and the cavity follows reversed', async () => {
    const mesh = await ready(outer, inner, []);
    expect(mesh.positions.slice(0, outer.positions.length)).toEqual(outer.positions);
    expect(mesh.triangles.slice(0, outer.triangles.length)).toEqual(outer.triangles);
    expect(shapes.volumeOf(mesh)).toBeCloseTo(40 ** 3 - 37 ** 3, 1);
  });

  test('a bore through the wall takes exactly its cylinder within the wall', async () => {
    // shapes.box spans 0…size or is centred; the mouth is taken from its own bounds.
    const top = Math.max(...outer.positions.filter((_, i) => i % 3 === 2));
    const x =
      (Math.max(...outer.positions.filter((_, i) => i % 3 === 0)) +
        Math.min(...outer.positions.filter((_, i) => i % 3 === 0))) /
      2;
    const y =
      (Math.max(...outer.positions.filter((_, i) => i % 3 === 1)) +
        Math.min(...outer.positions.filter((_, i) => i % 3 === 1))) /
      2;
    const cavity = centred(inner, outer);
    const mesh = await ready(outer, cavity, [bore([x, y, top], [0, 0, -1], 4, 4)]);
    const expected = 40 ** 3 - 37 ** 3 - Math.PI * 16 * 1.5;
    expect(Math.abs(shapes.volumeOf(mesh) / expected - 1)).toBeLessThan(1e-4);
    expect(isClosed(weldExactly(shapes.toSoup(mesh)))).toBe(true);
  });

  test('a hollowed torus with slanting bores stays watertight through float32 and an exact weld', async () => {
    const part = shapes.transformed(shapes.torus(20, 6, 120, 60), {
      turn: [17, 23, 31],
      shift: [50, -20, 90],
    });
    const cavity = hollow(part, { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 1e7 }, uninterrupted);
    if (!cavity.ok) throw new Error(cavity.error.message);
    const cutters = [0, 2, 4].map((angle) => {
      const out = shapes.turned([Math.cos(angle), Math.sin(angle), 0], [17, 23, 31]);
      const mouth = out.map((c, axis) => 26 * c + [50, -20, 90][axis]!) as unknown as [
        number,
        number,
        number,
      ];
      return bore(mouth, [-out[0], -out[1], -out[2]], 2, 4);
    });
    const mesh = await ready(part, cavity.value.mesh, cutters);
    expect(isClosed(weldExactly(shapes.toSoup(mesh)))).toBe(true);
    const again = await ready(part, cavity.value.mesh, cutters);
    expect(again.positions).toEqual(mesh.positions);
    expect(again.triangles).toEqual(mesh.triangles);
    expect(shapes.volumeOf(mesh)).toBeLessThan(
      shapes.volumeOf(part) - shapes.volumeOf(cavity.value.mesh) - 3 * 15,
    );
  });

  test('vertices that share one float32 point are parted', async () => {
    const a = shapes.box(10);
    const touching = shapes.join(a, shapes.transformed(shapes.box(10), { shift: [10, 10, 0] }));
    const mesh = await ready(touching, null, []);
    expect(isClosed(weldExactly(shapes.toSoup(touching)))).toBe(false);
    expect(isClosed(weldExactly(shapes.toSoup(mesh)))).toBe(true);
    expect(Math.abs(shapes.volumeOf(mesh) - 2000)).toBeLessThan(0.01);
  });

  test.each([
    ['open', (mesh: Mesh) => ({ ...mesh, triangles: mesh.triangles.slice(3) })],
    [
      'flipped',
      (mesh: Mesh) => ({
        ...mesh,
        triangles: Uint32Array.from(
          [...mesh.triangles.slice(0, 3)].reverse().concat([...mesh.triangles.slice(3)]),
        ),
      }),
    ],
    [
      'doubled',
      (mesh: Mesh) => ({ ...mesh, triangles: Uint32Array.from([...mesh.triangles, ...mesh.triangles]) }),
    ],
  ])('an %s mesh is refused before it reaches the kernel', async (_, spoil) => {
    const result = makeReady(await openSolid(), spoil(shapes.box(10)), null, [], uninterrupted);
    expect(result.ok ? 'made' : result.error.code).toBe('solid-not-closed');
  });

  test('openings that take everything away are told', async () => {
    const part = shapes.icosphere(3, 3);
    const result = makeReady(
      await openSolid(),
      part,
      null,
      [bore([0, 0, 5], [0, 0, -1], 8, 12)],
      uninterrupted,
    );
    expect(result.ok ? 'made' : result.error.code).toBe('solid-failed');
  });
});

/** `mesh` moved so that its bounding box has the centre of `other`'s. */
function centred(mesh: Mesh, other: Mesh): Mesh {
  const middle = (m: Mesh, axis: number): number => {
    const values = m.positions.filter((_, i) => i % 3 === axis);
    return (Math.min(...values) + Math.max(...values)) / 2;
  };
  const shift = [0, 1, 2].map((axis) => middle(other, axis) - middle(mesh, axis)) as unknown as [
    number,
    number,
    number,
  ];
  return shapes.transformed(mesh, { shift });
}
