import { describe, expect, test } from 'vitest';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { facetRings } from '../../../src/core/field/facetRings.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import { walkFacets } from '../../../src/core/field/facetWalk.ts';
import { BRICK_NODES, type FieldLattice } from '../../../src/core/field/fieldLattice.ts';
import { nearestSamples, OUTSIDE, SETTLED, sampleReach } from '../../../src/core/field/nearestSamples.ts';
import { otherSheet } from '../../../src/core/field/otherSheet.ts';
import { sampleBlocks, searchSamples } from '../../../src/core/field/sampleBlocks.ts';
import type { SurfaceSamples } from '../../../src/core/field/surfaceSamples.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';

const lattice: FieldLattice = { origin: [-3, 5, 100], spacing: 0.5, bricks: [4, 3, 5] };

/** Samples anywhere in the lattice, a third of them in clusters, sorted by brick. */
function strewn(seed: number, count: number): SurfaceSamples {
  const next = shapes.random(seed);
  const { origin, spacing, bricks } = lattice;
  const points = Array.from({ length: count }, () =>
    origin.map((from, axis) => from - spacing / 2 + 8 * spacing * bricks[axis]! * next()),
  );
  for (let n = 0; n < count / 3; n++)
    points[n] = points[n]!.map((value, axis) => value + (points[0]![axis]! - value) * 0.8);
  const brickOf = (point: number[]): number => {
    const [i, j, k] = point.map((value, axis) =>
      Math.floor((value - origin[axis]! + spacing / 2) / (8 * spacing)),
    );
    return i! + bricks[0] * (j! + bricks[1] * k!);
  };
  points.sort((a, b) => brickOf(a) - brickOf(b));
  const start = new Uint32Array(bricks[0] * bricks[1] * bricks[2] + 1);
  for (const point of points) start[brickOf(point) + 1]!++;
  for (let brick = 1; brick < start.length; brick++) start[brick]! += start[brick - 1]!;
  return { points: Float32Array.from(points.flat()), facet: new Uint32Array(count), start };
}

const squareTo = ({ points }: SurfaceSamples, s: number, x: number, y: number, z: number): number =>
  (points[3 * s]! - x) ** 2 + (points[3 * s + 1]! - y) ** 2 + (points[3 * s + 2]! - z) ** 2;

function leastSquare(samples: SurfaceSamples, x: number, y: number, z: number): number {
  let least = Infinity;
  for (let s = 0; s < samples.facet.length; s++) least = Math.min(least, squareTo(samples, s, x, y, z));
  return least;
}

describe('nearest samples against every sample', () => {
  const { origin, spacing, bricks } = lattice;
  test.each([1, 2, 3, 4])('seed %s', (seed) => {
    const samples = strewn(seed, [3, 40, 400, 4000][seed - 1]!);
    const reachMm = 2.06;
    const settledMm = 0.94;
    const reach = sampleReach(reachMm, settledMm);
    let near = 0;
    for (let brick = 0; brick < bricks[0] * bricks[1] * bricks[2]; brick++) {
      for (let n = 0; n < BRICK_NODES; n++) reach.squared[n] = n % 7 === 0 ? OUTSIDE : Infinity;
      const isReached = nearestSamples(samples, lattice, brick, reach);
      for (let n = 0; n < BRICK_NODES; n++) {
        const x = origin[0] + spacing * (8 * (brick % bricks[0]) + (n & 7));
        const y = origin[1] + spacing * (8 * (Math.floor(brick / bricks[0]) % bricks[1]) + ((n >> 3) & 7));
        const z = origin[2] + spacing * (8 * Math.floor(brick / (bricks[0] * bricks[1])) + (n >> 6));
        if (n % 7 === 0) {
          expect(reach.squared[n]).toBe(OUTSIDE);
          continue;
        }
        const least = Math.sqrt(leastSquare(samples, x, y, z));
        const told = reach.squared[n]!;
        // Sums in 32 bits of what lies under 16 spacings from the brick are right within this, mm.
        const error = 1e-5;
        if (told === SETTLED) expect(least).toBeLessThan(settledMm + error);
        else if (told === Infinity) expect(least).toBeGreaterThan(reachMm - error);
        else {
          near++;
          expect(isReached).toBe(true);
          expect(Math.abs(spacing * Math.sqrt(told) - least)).toBeLessThan(error);
          expect(Math.abs(Math.sqrt(squareTo(samples, reach.sample[n]!, x, y, z)) - least)).toBeLessThan(
            error,
          );
          expect(least).toBeGreaterThan(settledMm - error);
          expect(least).toBeLessThan(reachMm + error);
        }
      }
    }
    expect(near).toBeGreaterThan(0);
  });
});

describe('a search among blocks of samples against every sample', () => {
  test.each([1, 2, 3])('seed %s', (seed) => {
    const samples = strewn(seed, 20 * 10 ** (seed - 1));
    const blocks = sampleBlocks(samples, lattice);
    const next = shapes.random(seed + 100);
    const tally = { found: 0, none: 0 };
    for (let n = 0; n < 500; n++) {
      const [x, y, z] = lattice.origin.map(
        (from, axis) => from + 4 * lattice.bricks[axis]! * next() * 1.2 - 1,
      ) as [number, number, number];
      const withinMm = 4 * next();
      const least = leastSquare(samples, x, y, z);
      const best = searchSamples(samples, blocks, x, y, z, withinMm);
      if (best >= 0) expect(squareTo(samples, best, x, y, z)).toBe(least);
      else expect(least).toBeGreaterThanOrEqual(withinMm * withinMm);
      if (least < withinMm * withinMm) expect(best).toBeGreaterThanOrEqual(0);
      tally[best >= 0 ? 'found' : 'none']++;
    }
    expect(tally.found).toBeGreaterThan(20);
    expect(tally.none).toBeGreaterThan(20);
  });
});

describe('a walk over facets against a tree of all', () => {
  const meshes: [string, Mesh][] = [
    ['box', shapes.box(20)],
    ['torus', shapes.torus(14, 5, 60, 30)],
    ['sphere', shapes.icosphere(10, 3)],
  ];
  test.each(meshes)('%s: never nearer than the nearest, and there from a facet close by', (_, mesh) => {
    const tree = buildFacetTree(mesh);
    const rings = facetRings(mesh, -Infinity, Infinity);
    const next = shapes.random(5);
    const facets = mesh.triangles.length / 3;
    const query = new Float64Array(3);
    const [walked, exact] = [closestPointScratch(), closestPointScratch()];
    for (let n = 0; n < 2000; n++) {
      for (let axis = 0; axis < 3; axis++) query[axis] = 40 * (next() - 0.5);
      closestPoint(tree, query[0]!, query[1]!, query[2]!, -1, exact);
      walked.squared = Infinity;
      walkFacets(mesh, rings, Math.floor(facets * next()), query, walked);
      expect(walked.squared).toBeGreaterThanOrEqual(exact.squared * (1 - 1e-9));
      const [x, y, z] = query as unknown as [number, number, number];
      const told = (walked.x - x) ** 2 + (walked.y - y) ** 2 + (walked.z - z) ** 2;
      expect(Math.abs(told - walked.squared)).toBeLessThan(1e-9);
      walked.squared = Infinity;
      walkFacets(mesh, rings, tree.facet[exact.packed]!, query, walked);
      expect(walked.squared).toBeLessThanOrEqual(exact.squared * (1 + 1e-9) + 1e-18);
    }
  });
});

describe('another sheet', () => {
  test.each([1, 2, 3])('is that of the closest sample no known way leads to: seed %i', (seed) => {
    const strewnOnce = strewn(seed, 300);
    // Each sample has a facet of its own to be known by.
    const samples = { ...strewnOnce, facet: Uint32Array.from(strewnOnce.facet, (_, s) => s) };
    const next = shapes.random(seed + 10);
    let answered = 0;
    for (let n = 0; n < 200; n++) {
      const at = lattice.origin.map((from, axis) => from + 8 * 0.5 * lattice.bricks[axis]! * next());
      const ways = [0, 1].map(() => {
        const way = [next() - 0.5, next() - 0.5, next() - 0.5];
        return way.map((value) => value / Math.hypot(...way));
      });
      const known = { ways: Float64Array.from(ways.flat()), count: n % 3 };
      const withinMm = 3 * next();
      let best = -1;
      let least = withinMm ** 2;
      for (let s = 0; s < samples.facet.length; s++) {
        const to = at.map((value, axis) => samples.points[3 * s + axis]! - value);
        const squared = to[0]! ** 2 + to[1]! ** 2 + to[2]! ** 2;
        const isKnown = ways
          .slice(0, known.count)
          .some(
            (way) =>
              way.reduce((sum, value, axis) => sum + value * to[axis]!, 0) >
              Math.cos(Math.PI / 9) * Math.sqrt(squared),
          );
        if (squared < least && !isKnown) [best, least] = [s, squared];
      }
      expect(otherSheet(samples, lattice, Float64Array.from(at), known, withinMm)).toBe(best);
      if (best >= 0) answered++;
    }
    expect(answered).toBeGreaterThan(50);
  });
});
