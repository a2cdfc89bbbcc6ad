import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Cavity } from '../../../src/core/field/cavity.ts';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import type { FieldKernel } from '../../../src/core/field/fieldKernel.ts';
import { type HollowOptions, hollow } from '../../../src/core/field/hollow.ts';
import { type KeptRegion, keptDistanceScratch, nearestKept } from '../../../src/core/field/keptRegion.ts';
import { typescriptKernel } from '../../../src/core/field/typescriptKernel.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { compileKernel } from '../../../src/kernels/compileKernel.mjs';
import { wasmFieldKernel } from '../../../src/pipeline/wasmFieldKernel.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import * as shapes from '../../shapes.ts';

const ball = (at: Vec3, roundMm: number): KeptRegion => ({ at, halfSize: [0, 0, 0], roundMm });
const block = (at: Vec3, size: Vec3): KeptRegion => ({
  at,
  halfSize: [size[0] / 2, size[1] / 2, size[2] / 2],
  roundMm: 0,
});

let compiled: FieldKernel;
beforeAll(async () => {
  compiled = wasmFieldKernel(new WebAssembly.Module(readFileSync(await compileKernel('fieldKernel'))));
});

function hollowed(
  mesh: Mesh,
  kept: readonly KeptRegion[],
  options: Partial<HollowOptions> = {},
  kernel: FieldKernel = typescriptKernel,
): Cavity {
  const asked = { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 2e7, kept, ...options };
  const result = hollow(mesh, asked, uninterrupted, kernel);
  if (!result.ok) throw new Error(result.error.message);
  expect(isClosed(result.value.mesh)).toBe(true);
  return result.value;
}

/** Greatest and least of depth less wall at every cavity vertex, where no region is nearer than `clearMm`. */
function wallErrors(outer: Mesh, cavity: Cavity, kept: readonly KeptRegion[], clearMm: number) {
  const tree = buildFacetTree(outer);
  const found = closestPointScratch();
  const region = keptDistanceScratch();
  let least = Infinity;
  let greatest = -Infinity;
  const p = cavity.mesh.positions;
  for (let v = 0; v < p.length; v += 3) {
    nearestKept(kept, p[v]!, p[v + 1]!, p[v + 2]!, region);
    if (region.distance < clearMm) continue;
    closestPoint(tree, p[v]!, p[v + 1]!, p[v + 2]!, -1, found);
    least = Math.min(least, Math.sqrt(found.squared) - 1.5);
    greatest = Math.max(greatest, Math.sqrt(found.squared) - 1.5);
  }
  return { least, greatest };
}

const sphereVolume = (r: number): number => (4 / 3) * Math.PI * r ** 3;
/** The ground two balls share, their middles d apart: Weisstein, Sphere–Sphere Intersection. */
const lensVolume = (R: number, r: number, d: number): number =>
  (Math.PI * (R + r - d) ** 2 * (d * d + 2 * d * (r + R) - 3 * (r - R) ** 2)) / (12 * d);

describe('regions kept solid, against closed forms', () => {
  const outer = shapes.icosphere(20, 5);
  const inner = Math.cbrt((3 * shapes.volumeOf(outer)) / (4 * Math.PI)) - 1.5;

  test('a ball that rests on the wall of a sphere takes a lens out of its cavity', () => {
    const kept = [ball([0, 3, 15], 7)];
    const cavity = hollowed(outer, kept);
    const lens = lensVolume(inner, 7, Math.hypot(3, 15));
    expect(shapes.volumeOf(cavity.mesh) / (sphereVolume(inner) - lens)).toBeCloseTo(1, 3);
    expect(cavity.keptMm3[0]! / lens).toBeCloseTo(1, 2);
    expect(cavity.chambers).toHaveLength(1);
    // A cell of the field away from the crease, where vertices stand on one sheet alone.
    const { least, greatest } = wallErrors(outer, cavity, kept, cavity.spacingMm);
    expect(least).toBeGreaterThan(-0.03);
    expect(greatest).toBeLessThan(0.03);
    // Right at the crease the wall must not be thinner either.
    expect(wallErrors(outer, cavity, kept, -1).least).toBeGreaterThan(-0.05);
  });

  test('a ball in the middle', () => {
    const cavity = hollowed(outer, [ball([1, -2, 3], 8)]);
    expect(shapes.volumeOf(cavity.mesh) / (sphereVolume(inner) - sphereVolume(8))).toBeCloseTo(1, 3);
    expect(cavity.keptMm3[0]! / sphereVolume(8)).toBeCloseTo(1, 2);
    // The wall stays the part's own wall, whatever the ball's facets do.
    expect(cavity.thinnest!.wallMm).toBeGreaterThan(1.45);
    expect(Math.hypot(...cavity.thinnest!.at)).toBeGreaterThan(18);
  });

  test('a box, over the wall and by itself, with its edges sharp', () => {
    const cube = shapes.box(40);
    const kept = [block([18, 0, 0], [10, 12, 14]), block([-8, 2, 1], [6.3, 7.7, 8.1])];
    const cavity = hollowed(cube, kept);
    // The cavity reaches from −18.5 to 18.5; the first box goes from 13 on.
    const first = 5.5 * 12 * 14;
    const second = 6.3 * 7.7 * 8.1;
    expect(shapes.volumeOf(cavity.mesh) / (37 ** 3 - first - second)).toBeCloseTo(1, 3.5);
    expect(37 ** 3 - shapes.volumeOf(cavity.mesh)).toBeCloseTo(first + second, -1);
    expect(cavity.keptMm3[0]! / first).toBeCloseTo(1, 1.5);
    expect(cavity.keptMm3[1]! / second).toBeCloseTo(1, 1.5);
    const { least, greatest } = wallErrors(cube, cavity, kept, 0.1);
    expect(least).toBeGreaterThan(-0.03);
    expect(greatest).toBeLessThan(0.03);
  });

  test('a wall of meat parts one chamber in two', () => {
    const cavity = hollowed(shapes.box([60, 30, 30]), [block([5, 0, 0], [4, 100, 100])]);
    expect(cavity.chambers).toHaveLength(2);
    expect(cavity.chambers[0]!.volumeMm3 / (31.5 * 27 * 27)).toBeCloseTo(1, 3);
    expect(cavity.chambers[1]!.volumeMm3 / (21.5 * 27 * 27)).toBeCloseTo(1, 3);
  });

  test('overlapping regions count shared ground once; one outside keeps nothing; one over all leaves no hollow', () => {
    const cube = shapes.box(30);
    const twins = [ball([0, 0, 0], 6), ball([0, 0, 0], 6), ball([0, 0, 80], 5)];
    const cavity = hollowed(cube, twins);
    expect(shapes.volumeOf(cavity.mesh) / (27 ** 3 - sphereVolume(6))).toBeCloseTo(1, 3);
    expect((cavity.keptMm3[0]! + cavity.keptMm3[1]!) / sphereVolume(6)).toBeCloseTo(1, 2);
    expect(cavity.keptMm3[2]).toBe(0);
    const full = hollowed(cube, [ball([0, 0, 0], 60)]);
    expect(full.chambers).toHaveLength(0);
    expect(full.keptMm3[0]! / 27 ** 3).toBeCloseTo(1, 2);
    expect(full.deepestMm).toBeCloseTo(15, 1);
  });
});

describe('a hollow with kept regions', () => {
  const kept = [ball([9, 1, 0], 6), block([-10, 1, 2], [9, 5, 4]), ball([0, 0, 11], 4)];
  const meshes: [string, Mesh][] = [
    ['turned box', shapes.transformed(shapes.box(28), { turn: [20, 30, 40] })],
    ['torus', shapes.torus(14, 5, 160, 80)],
    ['sphere', shapes.icosphere(14, 4)],
  ];

  test.each(meshes)('%s: kernels, slices and the tree agree', (_, mesh) => {
    const one = hollowed(mesh, kept, { slices: 3 });
    expect(hollowed(mesh, kept, { slices: 3 }, compiled)).toEqual(one);
    const whole = hollowed(mesh, kept, { slices: 1 });
    expect(shapes.volumeOf(one.mesh) / shapes.volumeOf(whole.mesh)).toBeCloseTo(1, 6);
    one.keptMm3.forEach((volume, n) => {
      expect(volume).toBeCloseTo(whole.keptMm3[n]!, 6);
    });
    const slow = hollowed(mesh, kept, { byTree: true });
    expect(Math.abs(shapes.volumeOf(one.mesh) / shapes.volumeOf(slow.mesh) - 1)).toBeLessThan(2e-4);
    expect(one.chambers).toHaveLength(slow.chambers.length);
  });

  test('without any is to the bit what it was without the option', () => {
    const mesh = shapes.torus(14, 5, 60, 30);
    const { keptMm3, ...plain } = hollowed(mesh, []);
    expect(keptMm3).toEqual([]);
    const far = hollowed(mesh, [ball([0, 0, 500], 3)]);
    expect({ ...far, keptMm3: [] }).toEqual({ ...plain, keptMm3: [] });
  });
});

describe('signed distance to kept regions', () => {
  test('is exact outside, has a unit gradient everywhere, and never grows faster than the way gone', () => {
    const regions = [ball([0, 0, 0], 5), block([8, 0, 0], [6, 4, 2])];
    const found = keptDistanceScratch();
    const at = (x: number, y: number, z: number): number => {
      nearestKept(regions, x, y, z, found);
      expect(Math.hypot(found.x, found.y, found.z)).toBeCloseTo(1, 12);
      return found.distance;
    };
    expect(at(0, 0, 7)).toBeCloseTo(2, 12);
    expect(at(0, 0, 0)).toBeCloseTo(-5, 12);
    expect(at(14, 5, 5)).toBeCloseTo(Math.hypot(3, 3, 4), 12);
    expect(at(8, 0, 0.75)).toBeCloseTo(-0.25, 12);
    expect([found.x, found.y, found.z]).toEqual([0, 0, 1]);
    const next = shapes.random(3);
    for (let n = 0; n < 2000; n++) {
      const [x, y, z] = [0, 1, 2].map(() => 24 * (next() - 0.5)) as [number, number, number];
      const [a, b, c] = [0, 1, 2].map(() => 2 * (next() - 0.5)) as [number, number, number];
      expect(Math.abs(at(x, y, z) - at(x + a, y + b, z + c))).toBeLessThanOrEqual(
        Math.hypot(a, b, c) + 1e-12,
      );
    }
  });
});
