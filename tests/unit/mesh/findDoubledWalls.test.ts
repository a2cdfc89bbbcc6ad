import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { findDoubledWalls } from '../../../src/core/mesh/findDoubledWalls.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, cylinder, hollowSphere, icosphere, join, sphere, torus, transformed } from '../../shapes.ts';

const find = (mesh: Mesh, wall = 1.5) => findDoubledWalls(mesh, wall, uninterrupted);
const moved = (mesh: Mesh, shift: Vec3) => transformed(mesh, { shift });

describe.each([[[0, 0, 0]], [[20, 50, -130]], [[90, 0, 0]]] as [Vec3][])(
  'doubled walls turned %j',
  (turn) => {
    it('finds the whole of a sphere that stands twice', () => {
      const walls = find(transformed(join(icosphere(30, 5), icosphere(29.2, 5)), { turn }));
      expect(walls).toHaveLength(1);
      // Rays near the rim of a sphere see too steep a surface, so each axis takes its own sixth.
      expect(walls[0]!.areaMm2 / (4 * Math.PI * 900)).toBeGreaterThan(0.9);
      expect(walls[0]!.areaMm2 / (4 * Math.PI * 900)).toBeLessThan(1.05);
      expect(walls[0]!.gapMm).toBeCloseTo(0.8, 1);
      expect(Math.hypot(...walls[0]!.at)).toBeCloseTo(30, 0);
    });

    it('finds none in a true hollow, a plain body or shells further apart than a wall', () => {
      expect(find(transformed(hollowSphere(30, 1), { turn }))).toEqual([]);
      expect(find(transformed(torus(20, 6), { turn }))).toEqual([]);
      expect(find(transformed(join(sphere(30), sphere(28)), { turn }))).toEqual([]);
    });

    it('takes no overlap of two bodies for a doubled wall', () => {
      expect(find(transformed(join(sphere(20), moved(sphere(20), [25, 0, 0])), { turn }))).toEqual([]);
      expect(find(transformed(join(box(30), moved(cylinder(5, 40), [0, 0, -14])), { turn }))).toEqual([]);
      expect(find(transformed(join(box([60, 60, 10]), moved(cylinder(8, 40), [0, 0, 4])), { turn }))).toEqual(
        [],
      );
    });
  },
);

it('takes two bodies that overlap with flush faces for no doubled wall', () => {
  expect(find(join(box(40), moved(box(40), [20, 0, 0])))).toEqual([]);
});

it('lists two doubled bodies apart, the larger first', () => {
  const pair = (r: number) => join(icosphere(r, 5), icosphere(r - 0.5, 5));
  const walls = find(join(pair(10), moved(pair(20), [50, 0, 0])));
  expect(walls).toHaveLength(2);
  expect(walls[0]!.at[0]).toBeGreaterThan(25);
  expect(walls[1]!.at[0]).toBeLessThan(15);
});

it('sees facets that face two or three axes alike', () => {
  const octahedron = (r: number) => sphere(r, 4);
  const walls = find(join(octahedron(20), octahedron(19)));
  // Eight facets of a regular octahedron of corner distance r have 4·√3·r² in all.
  expect(walls.reduce((sum, wall) => sum + wall.areaMm2, 0) / (4 * Math.sqrt(3) * 400)).toBeGreaterThan(0.85);
  const prism = (r: number) => cylinder(r, 30, 4);
  const sides = find(join(transformed(prism(20), { turn: [0, 0, 0] }), moved(prism(19), [0, 0, 0.5])));
  expect(sides.reduce((sum, wall) => sum + wall.areaMm2, 0)).toBeLessThan(
    4 * 20 * Math.SQRT2 * 30 * 1.02 + 1600,
  );
});
