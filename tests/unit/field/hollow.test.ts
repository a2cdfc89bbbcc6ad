import { describe, expect, test } from 'vitest';
import type { Cavity } from '../../../src/core/field/cavity.ts';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import { type HollowOptions, hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import * as shapes from '../../shapes.ts';

function hollowed(mesh: Mesh, options: Partial<HollowOptions> = {}): Cavity {
  const result = hollow(mesh, { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 2e7, ...options }, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  expect(isClosed(result.value.mesh)).toBe(true);
  return result.value;
}

/** How deep a part is: told where every hollow is too small to be one. */
function deepestOf(mesh: Mesh, options: Partial<HollowOptions> = {}): number {
  const { chambers, deepestMm } = hollowed(mesh, { ...options, leastChamberMm3: Infinity });
  expect(chambers).toEqual([]);
  return deepestMm!;
}

/** Wall at the middle of every cavity facet and of its edges, weighted by area, against the outer mesh. */
function sampleWall(outer: Mesh, { mesh }: Cavity, wallMm: number): { off: number; thinnest: number } {
  const tree = buildFacetTree(outer);
  const found = closestPointScratch();
  const { positions: p, triangles: t } = mesh;
  let total = 0;
  let off = 0;
  let thinnest = Infinity;
  for (let f = 0; f < t.length; f += 3) {
    const [a, b, c] = [0, 1, 2].map((n) => [...p.subarray(3 * t[f + n]!, 3 * t[f + n]! + 3)]) as [
      number[],
      number[],
      number[],
    ];
    const [u, v] = [b, c].map((to) => to.map((value, axis) => value - a[axis]!)) as [number[], number[]];
    const area =
      Math.hypot(
        u[1]! * v[2]! - u[2]! * v[1]!,
        u[2]! * v[0]! - u[0]! * v[2]!,
        u[0]! * v[1]! - u[1]! * v[0]!,
      ) / 2;
    for (const [wa, wb, wc] of [
      [1, 1, 1],
      [1, 1, 0],
      [0, 1, 1],
      [1, 0, 1],
    ] as const) {
      const [x, y, z] = [0, 1, 2].map(
        (axis) => (wa * a[axis]! + wb * b[axis]! + wc * c[axis]!) / (wa + wb + wc),
      ) as [number, number, number];
      closestPoint(tree, x, y, z, found.packed, found);
      const distance = Math.sqrt(found.squared);
      total += area;
      if (Math.abs(distance - wallMm) > 0.05) off += area;
      thinnest = Math.min(thinnest, distance);
    }
  }
  return { off: off / total, thinnest };
}

/** The accuracy the design promises: within 0.05 mm over 99 %, never thinner by more than 0.1 mm. */
function expectWall(outer: Mesh, cavity: Cavity, wallMm = 1.5): void {
  const { off, thinnest } = sampleWall(outer, cavity, wallMm);
  expect(off).toBeLessThan(0.01);
  expect(thinnest).toBeGreaterThan(wallMm - 0.1);
}

describe('hollow against closed forms', () => {
  test.each([[[0, 0, 0]], [[20, 30, 40]], [[45, 0, 45]]] as [Vec3][])(
    'cube of 40 turned by %s: 37³',
    (turn) => {
      const cube = shapes.transformed(shapes.box(40), { turn, shift: [7, -90, 33] });
      const cavity = hollowed(cube);
      expect(shapes.volumeOf(cavity.mesh) / 37 ** 3).toBeCloseTo(1, 3);
      expect(cavity.deepestMm).toBeNull();
      expect(deepestOf(cube)).toBeCloseTo(20, 1);
      expect(cavity.chambers).toHaveLength(1);
      for (const [axis, value] of [7, -90, 33].entries())
        expect(cavity.chambers[0]!.centroid[axis]).toBeCloseTo(value, 1);
      expectWall(cube, cavity);
    },
  );

  test('sphere and torus: a smaller sphere and torus', () => {
    const ball = shapes.icosphere(12, 4);
    const inBall = hollowed(ball);
    // The mesh given lies within the sphere by its own chords; its volume tells its mean radius.
    const mean = Math.cbrt((3 * shapes.volumeOf(ball)) / (4 * Math.PI));
    expect(shapes.volumeOf(inBall.mesh) / ((4 / 3) * Math.PI * (mean - 1.5) ** 3)).toBeCloseTo(1, 2.7);
    expect(deepestOf(ball)).toBeCloseTo(mean, 1);
    expectWall(ball, inBall);
    const ring = shapes.torus(14, 5, 160, 80);
    const inRing = hollowed(ring);
    const tube = Math.sqrt(shapes.volumeOf(ring) / (2 * Math.PI ** 2 * 14));
    expect(shapes.volumeOf(inRing.mesh) / (2 * Math.PI ** 2 * 14 * (tube - 1.5) ** 2)).toBeCloseTo(1, 2.7);
    expectWall(ring, inRing);
  });

  const figure = shapes.loadSharedMesh('human_cc0');
  const twins: [string, Mesh][] = [
    ['cube', shapes.box(24)],
    ['turned cube', shapes.transformed(shapes.box(24), { turn: [20, 30, 40], shift: [0, 0, 0] })],
    ['sphere', shapes.icosphere(12, 4)],
    ['torus', shapes.torus(14, 5, 160, 80)],
    ...(figure === null ? [] : [['human_cc0', figure] as [string, Mesh]]),
  ];
  test.each(twins)(
    '%s: samples and walks give what the tree gives',
    (_, mesh) => {
      const fast = hollowed(mesh);
      const slow = hollowed(mesh, { byTree: true });
      expect(Math.abs(shapes.volumeOf(fast.mesh) / shapes.volumeOf(slow.mesh) - 1)).toBeLessThan(2e-4);
      expect(fast.chambers).toHaveLength(slow.chambers.length);
      // Two climbs may end on two of several peaks of almost one height.
      expect(Math.abs(deepestOf(mesh) - deepestOf(mesh, { byTree: true }))).toBeLessThan(0.05);
      expectWall(mesh, fast);
    },
    120_000,
  );

  test('a sculpted void keeps a wall round it', () => {
    const part = shapes.join(shapes.box(30), shapes.reversed(shapes.icosphere(6, 4)));
    const cavity = hollowed(part);
    expect(shapes.volumeOf(cavity.mesh) / (27 ** 3 - (4 / 3) * Math.PI * 7.5 ** 3)).toBeCloseTo(1, 2.7);
    expect(cavity.chambers).toHaveLength(1);
    expectWall(part, cavity);
  });

  test('a large part has coarser cells, and its wall', () => {
    const turn: Vec3 = [20, 30, 40];
    const [small, large] = [40, 110].map((mm) => shapes.transformed(shapes.box(mm), { turn })) as [
      Mesh,
      Mesh,
    ];
    expect(hollowed(small).spacingMm).toBe(0.5);
    const cavity = hollowed(large);
    expect(cavity.spacingMm).toBeCloseTo(0.58, 9);
    expect(shapes.volumeOf(cavity.mesh) / 107 ** 3).toBeCloseTo(1, 3);
    expectWall(large, cavity);
  }, 60_000);

  test('other walls', () => {
    for (const wallMm of [0.8, 3, 5]) {
      const cavity = hollowed(shapes.box(20), { wallMm });
      expect(shapes.volumeOf(cavity.mesh) / (20 - 2 * wallMm) ** 3).toBeCloseTo(1, 2.7);
    }
  });
});

describe('chambers', () => {
  const bell = (thickness: number): Mesh =>
    shapes.lathe(
      [
        [0, -12],
        [8, -12],
        [8, -4],
        [thickness, -4],
        [thickness, 4],
        [6, 4],
        [6, 12],
        [0, 12],
      ],
      48,
    );

  test('a thin neck parts two chambers, largest first; facets know theirs', () => {
    const cavity = hollowed(bell(1.2));
    expect(cavity.chambers).toHaveLength(2);
    const [large, small] = cavity.chambers;
    expect(large!.volumeMm3).toBeGreaterThan(small!.volumeMm3);
    expect(large!.centroid[2]).toBeLessThan(-4);
    expect(small!.centroid[2]).toBeGreaterThan(4);
    const { positions, triangles } = cavity.mesh;
    for (let f = 0; f < cavity.facetChamber.length; f++) {
      expect(positions[3 * triangles[3 * f]! + 2]! < 0 ? 0 : 1).toBe(cavity.facetChamber[f]);
    }
  });

  test('a wide neck joins them', () => {
    expect(hollowed(bell(3)).chambers).toHaveLength(1);
  });

  test('chambers under the least stay solid and are listed', () => {
    const all = hollowed(bell(1.2));
    const least = (all.chambers[0]!.volumeMm3 + all.chambers[1]!.volumeMm3) / 2;
    const cavity = hollowed(bell(1.2), { leastChamberMm3: least });
    expect(cavity.chambers).toEqual([all.chambers[0]]);
    expect(cavity.leftSolid).toEqual([all.chambers[1]]);
    expect(shapes.volumeOf(cavity.mesh)).toBeCloseTo(all.chambers[0]!.volumeMm3, 1);
  });

  test('the thickest ball of solid is told where a hollow stays solid, and none otherwise', () => {
    expect(hollowed(bell(1.2)).lumps).toEqual([]);
    const parts = shapes.join(
      shapes.icosphere(12, 4),
      shapes.transformed(shapes.icosphere(5, 4), { shift: [40, 3, 2] }),
      shapes.transformed(shapes.box(8), { shift: [-30, 3, 2], turn: [10, 20, 30] }),
    );
    const { lumps, chambers, leftSolid } = hollowed(parts, { leastChamberMm3: 200 });
    expect(chambers).toHaveLength(1);
    expect(leftSolid.filter(({ volumeMm3 }) => volumeMm3 > 1)).toHaveLength(2);
    expect(lumps.map(({ thicknessMm }) => Math.round(10 * thicknessMm) / 10)).toEqual([10, 8]);
    [40, 3, 2].forEach((c, axis) => {
      expect(lumps[0]!.at[axis]).toBeCloseTo(c, 0.9);
    });
    expect(lumps[1]!.volumeMm3).toBeCloseTo(5 ** 3, 0);
    expect(lumps[0]!.volumeMm3 / ((4 / 3) * Math.PI * 3.5 ** 3)).toBeCloseTo(1, 1.5);
  });

  test('a part too thin to hollow has none, and its depth is told', () => {
    const cavity = hollowed(shapes.box([30, 20, 2.4]));
    expect(cavity.chambers).toHaveLength(0);
    expect(cavity.mesh.triangles).toHaveLength(0);
    expect(cavity.thinnest).toBeNull();
    expect(cavity.deepestMm).toBeCloseTo(1.2, 1);
  });
});

describe('limits', () => {
  test('few nodes coarsen the field, too few fail', () => {
    const coarse = hollowed(shapes.box(40), { maxNodes: 250_000 });
    expect(coarse.spacingMm).toBeGreaterThan(hollowed(shapes.box(40)).spacingMm);
    expect(shapes.volumeOf(coarse.mesh) / 37 ** 3).toBeCloseTo(1, 2.7);
    const result = hollow(shapes.box(400), { wallMm: 0.5, leastChamberMm3: 1, maxNodes: 1e5 }, uninterrupted);
    expect(result.ok ? 'made' : result.error.code).toBe('grid-too-large');
  });

  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a wall of %s is refused', (wallMm) => {
    const result = hollow(shapes.box(10), { wallMm, leastChamberMm3: 1, maxNodes: 1e6 }, uninterrupted);
    expect(result.ok ? 'made' : result.error.code).toBe('option-invalid');
  });

  test('the same input gives the same bytes', () => {
    const ring = shapes.torus(10, 4, 60, 30);
    expect(hollowed(ring)).toEqual(hollowed(ring));
  });
});
