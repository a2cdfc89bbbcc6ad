import { describe, expect, test } from 'vitest';
import { buildChamberCells } from '../../../src/core/chambers/buildChamberCells.ts';
import { buildChamberNetwork } from '../../../src/core/chambers/buildChamberNetwork.ts';
import type { ChamberNetwork } from '../../../src/core/chambers/chamberNetwork.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { dot, subtract, type Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';
import { arc, dumbbell, FINE, turnedBody } from './bodies.ts';
import { cavityOf, fineBox } from './cavities.ts';

const networkOf = (...chambers: readonly Mesh[]): ChamberNetwork =>
  buildChamberNetwork(buildChamberCells(cavityOf(...chambers), uninterrupted), uninterrupted);

describe('two balls and a bore', () => {
  const [lower, upper, bore, apart] = [12, 9, 3, 8];
  const body = dumbbell(lower, upper, bore, apart);
  const turn: Vec3 = [31, 17, 8];

  test.each([
    ['on an axis', [0, 0, 0] as Vec3],
    ['aslant', turn],
  ])('are two lobes and a neck of its size, %s', (_, way) => {
    const { lobes, necks, lobeOf } = networkOf(shapes.transformed(body, { turn: way }));
    expect(lobes).toHaveLength(2);
    expect(necks).toHaveLength(1);
    const radii = lobes.map(({ radiusMm }) => radiusMm).sort((a, b) => b - a);
    expect(radii[0]).toBeCloseTo(lower, 0);
    expect(radii[1]).toBeCloseTo(upper, 0);
    expect(lobes.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0) / shapes.volumeOf(body)).toBeCloseTo(
      1,
      2,
    );
    const neck = necks[0]!;
    expect(Math.abs(neck.radiusMm / bore - 1)).toBeLessThan(0.02);
    expect(Math.abs(neck.areaMm2 / (Math.PI * bore * bore) - 1)).toBeLessThan(0.08);
    expect(Math.abs(neck.hydraulicMm / (2 * bore) - 1)).toBeLessThan(0.03);
    // The balls close in on the bore slowly, which makes it a little longer.
    expect(neck.lengthMm - apart).toBeGreaterThan(-0.5);
    expect(neck.lengthMm - apart).toBeLessThan(2);
    // From one mouth of the bore to the other, each somewhat into its ball.
    const [from, to] = neck.ends;
    expect(dot(subtract(to, from), neck.direction)).toBeGreaterThan(apart);
    expect(dot(subtract(to, from), neck.direction)).toBeLessThan(apart + 3 * bore);
    const axis = shapes.turned([0, 0, 1], way);
    const towards = lobes[neck.a]!.radiusMm > lobes[neck.b]!.radiusMm ? 1 : -1;
    expect(towards * dot(neck.direction, axis)).toBeGreaterThan(0.98);
    expect(new Set(lobeOf).size).toBe(2);
  });

  test('a bore of 0.7 of the lesser ball does not divide it, one of half does', () => {
    expect(networkOf(dumbbell(12, 9, 6.3, 6)).lobes).toHaveLength(1);
    expect(networkOf(dumbbell(12, 9, 4.5, 6)).lobes).toHaveLength(2);
  });

  test('a pimple narrower than four cells across is no lobe', () => {
    expect(networkOf(dumbbell(12, 0.9, 0.4, 0.4)).lobes).toHaveLength(1);
    expect(networkOf(dumbbell(12, 1.8, 0.8, 0.8)).lobes).toHaveLength(2);
  });

  test('a mere hole between them has next to no length', () => {
    const { necks } = networkOf(dumbbell(12, 12, 4, 0.1));
    expect(necks).toHaveLength(1);
    expect(necks[0]!.lengthMm).toBeLessThan(1.2);
    expect(Math.abs(necks[0]!.radiusMm / 4 - 1)).toBeLessThan(0.1);
  });
});

describe('one lobe', () => {
  test.each<[string, Mesh]>([
    ['a ball', shapes.icosphere(12, 5)],
    ['a capsule', turnedBody([...arc(6, 0, -6, 0), ...arc(6, 40, 40, 46)])],
    ['a limb that tapers to a foot', turnedBody([...arc(9, 0, -9, 0), ...arc(3, 60, 60, 63)])],
    ['a ring', shapes.torus(18, 5, 240, 96)],
    ['a box', fineBox([30, 20, 12], FINE)],
    ['a flat box', fineBox([40, 30, 5], FINE)],
  ])('%s', (_, mesh) => {
    const { lobes, necks } = networkOf(mesh);
    expect(lobes).toHaveLength(1);
    expect(necks).toHaveLength(0);
  });
});

test('lobes of two chambers know which is theirs, and are not joined', () => {
  const beside = shapes.transformed(shapes.icosphere(6, 5), { shift: [30, 0, 0] });
  const { lobes, necks } = networkOf(dumbbell(10, 10, 3, 4), beside);
  expect(lobes.map(({ chamber }) => chamber).sort()).toEqual([0, 0, 1]);
  expect(necks).toHaveLength(1);
  expect(lobes[necks[0]!.a]!.chamber).toBe(0);
});

test('two balls joined by a passage that no cell resolves are joined all the same, narrowly', () => {
  const two = cavityOf(dumbbell(8, 8, 0.08, 1.2));
  const { lobes, necks } = buildChamberNetwork(buildChamberCells(two, uninterrupted), uninterrupted);
  expect(lobes).toHaveLength(2);
  expect(necks).toHaveLength(1);
  expect(necks[0]!.radiusMm).toBeLessThanOrEqual(0.25);
  expect([necks[0]!.a, necks[0]!.b]).toEqual([0, 1]);
});

test('a slot between two boxes has its area and twice its gap', () => {
  const { lobes, necks } = networkOf(slottedBoxes());
  expect(lobes).toHaveLength(2);
  expect(necks).toHaveLength(1);
  // 16 × 4 mm: hydraulic diameter 2·16·4/(16 + 4) = 6.4.
  expect(Math.abs(necks[0]!.areaMm2 / 64 - 1)).toBeLessThan(0.15);
  expect(Math.abs(necks[0]!.hydraulicMm / 6.4 - 1)).toBeLessThan(0.15);
});

/** Boxes of 20 mm, 4 mm apart on x, joined by a slot 16 mm wide and 4 mm high, as one surface of cubes 0.5 mm wide. */
function slottedBoxes(): Mesh {
  const [nx, ny, nz] = [88, 40, 40];
  const isIn = (x: number, y: number, z: number): boolean =>
    x >= 0 &&
    y >= 0 &&
    z >= 0 &&
    x < nx &&
    y < ny &&
    z < nz &&
    (x < 40 || x >= 48 || (y >= 4 && y < 36 && z >= 16 && z < 24));
  const positions: number[] = [];
  const triangles: number[] = [];
  const corners = new Map<number, number>();
  const corner = (x: number, y: number, z: number): number => {
    const key = x + 100 * (y + 100 * z);
    if (!corners.has(key)) corners.set(key, positions.push(x / 2, y / 2, z / 2) / 3 - 1);
    return corners.get(key)!;
  };
  for (let z = 0; z < nz; z++) {
    for (let y = 0; y < ny; y++) {
      for (let x = 0; x < nx; x++) {
        if (!isIn(x, y, z)) continue;
        for (let axis = 0; axis < 3; axis++) {
          for (const side of [0, 1]) {
            const cell: [number, number, number] = [x, y, z];
            cell[axis]! += side ? 1 : -1;
            if (isIn(...cell)) continue;
            const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
            const quad = [
              [0, 0],
              [1, 0],
              [1, 1],
              [0, 1],
            ].map(([a, b]) => {
              const at: [number, number, number] = [x, y, z];
              at[axis]! += side;
              at[u]! += a!;
              at[v]! += b!;
              return corner(...at);
            }) as [number, number, number, number];
            const [a, b, c, d] = side ? quad : (quad.reverse() as typeof quad);
            triangles.push(a, b, c, a, c, d);
          }
        }
      }
    }
  }
  return shapes.meshOf(positions, triangles);
}
