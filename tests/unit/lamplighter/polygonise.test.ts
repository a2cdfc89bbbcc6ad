import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { ball, block, carve, type Field, melt, ring, unite } from '../../../src/lamplighter/field.ts';
import { figureMesh, figureMm } from '../../../src/lamplighter/figureMesh.ts';
import { hashed } from '../../../src/lamplighter/noise.ts';
import { polygonise } from '../../../src/lamplighter/polygonise.ts';
import { boxOf } from '../../../src/lamplighter/sculpt.ts';
import { simplify } from '../../../src/lamplighter/simplify.ts';

const room = boxOf(-6, -6, -6, 6, 6, 6);
const cube = block([0.1, 0.2, 0.3], [2, 3, 4], 0.0001);
const fields = {
  ball: ball([0.1, 0.2, 0.3], 4),
  ring: ring([0, 0, 0], 3, 1),
  'touching balls': unite(ball([-2, 0, 0], 2), ball([2, 0, 0], 2)),
  'ball in a hole': unite(carve(cube, ball([0, 0, 0], 1.8)), ball([0, 0, 0], 1)),
  melted: melt(1, cube, ball([2, 0, 0], 3)),
  'node values of zero': (x: number, y: number, z: number) =>
    Math.max(Math.abs(x), Math.abs(y), Math.abs(z)) - 4,
} satisfies Record<string, Field>;

function expectClosed(mesh: Mesh): void {
  const report = reportTopology(mesh, uninterrupted);
  expect(report).toMatchObject({ watertight: true, openEdges: 0, nonmanifoldEdges: 0, misorientedEdges: 0 });
}

describe('polygonise', () => {
  test.each(Object.entries(fields))('%s is closed and outward', (_, field) => {
    const mesh = polygonise(field, room, 0.35, 0.5);
    expectClosed(mesh);
    expect(massProperties(mesh, uninterrupted).volume).toBeGreaterThan(0);
  });

  test('is closed for a field of pure noise', () => {
    const seed = 20240607;
    const rough: Field = (x, y, z) => {
      const lattice = hashed(seed, Math.round(x * 3), Math.round(y * 3), Math.round(z * 3)) - 0.5;
      return Math.max(lattice, Math.sqrt(x * x + y * y + z * z) - 4);
    };
    const mesh = polygonise(rough, room, 0.35, 10);
    expect(mesh.triangles.length, `seed ${seed}`).toBeGreaterThan(3000);
    expectClosed(mesh);
  });

  // Closed forms: 4/3·π·r³ and 2·π²·R·r².
  test('volumes agree with closed forms within 0.2 %', () => {
    const volume = (field: Field) => massProperties(polygonise(field, room, 0.12, 0.3), uninterrupted).volume;
    expect(Math.abs(volume(fields.ball) / ((4 / 3) * Math.PI * 64) - 1)).toBeLessThan(0.002);
    expect(Math.abs(volume(fields.ring) / (2 * Math.PI ** 2 * 3) - 1)).toBeLessThan(0.002);
  });

  test('vertices lie on the surface', () => {
    const field = fields.ball;
    const { positions } = polygonise(field, room, 0.3, 0.5);
    for (let n = 0; n < positions.length; n += 3) {
      expect(Math.abs(field(positions[n]!, positions[n + 1]!, positions[n + 2]!))).toBeLessThan(1e-3);
    }
  });
});

describe('simplify', () => {
  test.each(Object.entries(fields))('%s stays closed and keeps its volume', (_, field) => {
    const mesh = polygonise(field, room, 0.2, 0.5);
    const fewer = simplify(mesh, 1500);
    expect(fewer.triangles.length / 3).toBeLessThanOrEqual(1500);
    expectClosed(fewer);
    const before = massProperties(mesh, uninterrupted).volume;
    expect(Math.abs(massProperties(fewer, uninterrupted).volume / before - 1)).toBeLessThan(0.01);
  });
});

describe('figureMesh', () => {
  test('is closed, of the extents it names, on the plate, near the count asked, and the same every time', () => {
    const mesh = figureMesh(60_000);
    expectClosed(mesh);
    expect(Math.abs(mesh.triangles.length / 3 / 60_000 - 1)).toBeLessThan(0.1);
    const { bounds } = massProperties(mesh, uninterrupted);
    for (const axis of [0, 1, 2])
      expect(bounds.max[axis]! - bounds.min[axis]!).toBeCloseTo(figureMm[axis]!, 4);
    expect(bounds.min[2]).toBe(0);
    expect(figureMesh(60_000)).toEqual(mesh);
  });
});
