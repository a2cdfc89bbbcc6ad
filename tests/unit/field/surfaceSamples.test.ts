import { describe, expect, test } from 'vitest';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import { BRICK, type FieldLattice } from '../../../src/core/field/fieldLattice.ts';
import { type SurfaceSamples, sampleSurface } from '../../../src/core/field/surfaceSamples.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { boundsOf } from '../../../src/core/mesh/boundsOf.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';

const wallMm = 1.5;
/** Of samples in one cell of this size only the first is kept. */
const cell = 0.4 * wallMm;

function latticeRound({ positions }: Mesh, spacing = 0.5): FieldLattice {
  const { min, max } = boundsOf(positions);
  const bricks = min.map((low, axis) => Math.ceil((max[axis]! - low) / (BRICK * spacing)) + 1);
  return {
    origin: min.map((low) => low - 0.71 * spacing) as unknown as Vec3,
    spacing,
    bricks: bricks as unknown as Vec3,
  };
}

/** Brick and thinning cell of a point, in words. */
function cellAt(
  { origin, spacing }: FieldLattice,
  point: readonly number[],
): { brick: number[]; cell: string } {
  const side = BRICK * spacing;
  const brick = point.map((value, axis) => Math.floor((value - origin[axis]! + spacing / 2) / side));
  const within = point.map((value, axis) =>
    Math.floor((value - (origin[axis]! - spacing / 2 + side * brick[axis]!)) / cell),
  );
  return { brick, cell: `${brick} ${within}` };
}

const pointsOf = ({ points }: Pick<SurfaceSamples, 'points'>): number[][] =>
  Array.from({ length: points.length / 3 }, (_, n) => [...points.subarray(3 * n, 3 * n + 3)]);

const meshes: [string, Mesh][] = [
  ['small facets', shapes.transformed(shapes.torus(9, 4, 200, 90), { turn: [20, 30, 40] })],
  ['large facets', shapes.transformed(shapes.box([20, 9, 14]), { turn: [10, 50, 5], shift: [3, -60, 200] })],
  ['both', shapes.join(shapes.box(12), shapes.transformed(shapes.icosphere(3, 5), { shift: [11, 0, 0] }))],
];

describe.each(meshes)('samples of a surface with %s', (_, mesh) => {
  const lattice = latticeRound(mesh);
  const [nx, ny, nz] = lattice.bricks;
  const samples = sampleSurface(mesh, lattice, wallMm, [0, nz], uninterrupted);
  const points = pointsOf(samples);

  test('lie in their bricks, one in a cell, each on its facet', () => {
    expect(samples.start.at(-1)).toBe(points.length);
    const cells = new Set<string>();
    const found = closestPointScratch();
    points.forEach((point, s) => {
      const place = cellAt(lattice, point);
      const [i, j, k] = place.brick as [number, number, number];
      const brick = i + nx * (j + ny * k);
      expect(s).toBeGreaterThanOrEqual(samples.start[brick]!);
      expect(s).toBeLessThan(samples.start[brick + 1]!);
      cells.add(place.cell);
      const corners = [...mesh.triangles.subarray(3 * samples.facet[s]!, 3 * samples.facet[s]! + 3)];
      const facet = {
        positions: Float32Array.from(corners.flatMap((c) => [...mesh.positions.subarray(3 * c, 3 * c + 3)])),
        triangles: Uint32Array.of(0, 1, 2),
      };
      const [x, y, z] = point as [number, number, number];
      found.squared = Infinity;
      closestPoint(buildFacetTree(facet), x, y, z, 0, found);
      expect(Math.sqrt(found.squared)).toBeLessThan(1e-4);
    });
    expect(cells.size).toBe(points.length);
  });

  test('the first corner in a cell is its sample', () => {
    const sampled = new Map(points.map((point) => [cellAt(lattice, point).cell, point]));
    const seen = new Set<string>();
    for (const corner of pointsOf({ points: mesh.positions })) {
      const { cell } = cellAt(lattice, corner);
      if (!seen.has(cell)) expect(sampled.get(cell)).toEqual(corner);
      seen.add(cell);
    }
  });

  test('no place of the surface is far from one', () => {
    const next = shapes.random(3);
    for (let n = 0; n < 400; n++) {
      const facet = 3 * Math.floor((next() * mesh.triangles.length) / 3);
      let [u, v] = [next(), next()];
      if (u + v > 1) [u, v] = [1 - u, 1 - v];
      const at = [0, 1, 2].map((axis) => {
        const [a, b, c] = [0, 1, 2].map(
          (corner) => mesh.positions[3 * mesh.triangles[facet + corner]! + axis]!,
        );
        return (1 - u - v) * a! + u * b! + v * c!;
      });
      const nearest = Math.min(
        ...points.map((p) => Math.hypot(p[0]! - at[0]!, p[1]! - at[1]!, p[2]! - at[2]!)),
      );
      // Half a step of the rows either way to a point, and a cell's diagonal to the one that stands for it.
      expect(nearest).toBeLessThan(0.4 * wallMm * Math.SQRT1_2 + cell * Math.sqrt(3));
    }
  });

  test('those of some layers of bricks are the same whatever the others', () => {
    const [from, to] = [1, nz - 1];
    const part = sampleSurface(mesh, lattice, wallMm, [from, to], uninterrupted);
    const [first, last] = [samples.start[nx * ny * from]!, samples.start[nx * ny * to]!];
    expect(part.points).toEqual(samples.points.slice(3 * first, 3 * last));
    expect(part.facet).toEqual(samples.facet.slice(first, last));
  });
});
