import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { uniteShells } from '../../../src/solid/uniteShells.ts';
import * as shapes from '../../shapes.ts';

async function united(...meshes: Mesh[]): Promise<Mesh> {
  const result = uniteShells(await openSolid(), shapes.join(...meshes), uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  expect(isClosed(result.value)).toBe(true);
  return result.value;
}

const at = (mesh: Mesh, x: number, y: number, z: number): Mesh =>
  shapes.transformed(mesh, { shift: [x, y, z] });

describe('uniteShells', () => {
  test('overlapping boxes: the union, each volume once', async () => {
    const mesh = await united(shapes.box(10), at(shapes.box(10), 5, 5, 5));
    expect(shapes.volumeOf(mesh)).toBeCloseTo(1000 + 1000 - 125, 3);
  });

  test('a void inside one body stays', async () => {
    const mesh = await united(at(shapes.box(20), 0, 0, 0), at(shapes.reversed(shapes.box(6)), 5, 6, 7));
    expect(Math.abs(shapes.volumeOf(mesh) - (8000 - 216))).toBeLessThan(0.01);
  });

  test('a body half inside a void fills that half of it', async () => {
    const outer = at(shapes.box([40, 20, 20]), 0, 0, 0);
    const middle = center(outer);
    const hole = centredAt(shapes.reversed(shapes.box(10)), middle);
    const plug = centredAt(shapes.box([10, 4, 4]), [middle[0] + 5, middle[1], middle[2]]);
    // Winding: the part of the plug within the void has 1 − 1 + 1, hence is solid.
    const mesh = await united(outer, hole, plug);
    expect(shapes.volumeOf(mesh)).toBeCloseTo(16000 - 1000 + 5 * 16, 2);
  });

  test('a doubled shell counts once and an inward one alone not at all', async () => {
    const mesh = await united(
      shapes.box(10),
      centredAt(shapes.box(8), center(shapes.box(10))),
      at(shapes.reversed(shapes.box(5)), 100, 0, 0),
    );
    expect(shapes.volumeOf(mesh)).toBeCloseTo(1000, 3);
  });

  test('shells apart keep their facets to the bit', async () => {
    const apart = shapes.join(shapes.box(10), at(shapes.icosphere(4, 2), 50, 0, 0));
    const mesh = await united(apart);
    expect(shapes.toSoup(mesh)).toEqual(shapes.toSoup(apart));
  });

  test('an open shell is refused', async () => {
    const box = shapes.box(10);
    const result = uniteShells(
      await openSolid(),
      { ...box, triangles: box.triangles.slice(3) },
      uninterrupted,
    );
    expect(result.ok ? 'made' : result.error.code).toBe('solid-not-closed');
  });
});

function center(mesh: Mesh): [number, number, number] {
  return [0, 1, 2].map((axis) => {
    const values = mesh.positions.filter((_, i) => i % 3 === axis);
    return (Math.min(...values) + Math.max(...values)) / 2;
  }) as [number, number, number];
}

function centredAt(mesh: Mesh, to: readonly number[]): Mesh {
  const from = center(mesh);
  return at(mesh, to[0]! - from[0], to[1]! - from[1], to[2]! - from[2]);
}
