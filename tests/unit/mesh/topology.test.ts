import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { labelShells } from '../../../src/core/mesh/labelShells.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import {
  box,
  cone,
  cylinder,
  hollowSphere,
  icosphere,
  join,
  meshOf,
  polygonArea,
  reversed,
  sphere,
  torus,
  toSoup,
  transformed,
} from '../../shapes.ts';

const report = (mesh: Mesh) => reportTopology(mesh, uninterrupted);
const facets = (mesh: Mesh, pick: (facet: number) => boolean): Mesh => ({
  positions: mesh.positions,
  triangles: mesh.triangles.filter((_, h) => pick(Math.floor(h / 3))),
});

describe('reportTopology', () => {
  it('counts a closed body', () => {
    const clean = {
      shells: 1,
      watertight: true,
      openEdges: 0,
      nonmanifoldEdges: 0,
      misorientedEdges: 0,
      degenerate: 0,
      duplicates: 0,
    };
    // Euler: V − E + F = 2 for the sphere, 0 for the torus, with 3F = 2E.
    expect(report(icosphere(5, 3))).toMatchObject({ ...clean, triangles: 1280, vertices: 642 });
    expect(report(torus(5, 1, 30, 20))).toMatchObject({ ...clean, triangles: 1200, vertices: 600 });
    expect(report(hollowSphere(5, 1))).toMatchObject({ ...clean, shells: 2 });
  });

  it('counts what is wrong', () => {
    const cube = box(1);
    expect(report(facets(cube, (f) => f !== 3))).toMatchObject({ openEdges: 3, watertight: false });
    const flipped = facets(cube, () => true);
    flipped.triangles.set([cube.triangles[1]!, cube.triangles[0]!], 0);
    expect(report(flipped)).toMatchObject({ misorientedEdges: 3, openEdges: 0, watertight: false });
    const doubled = meshOf(cube.positions, [...cube.triangles, ...cube.triangles.subarray(0, 3)]);
    expect(report(doubled)).toMatchObject({ duplicates: 1, nonmanifoldEdges: 3, shells: 1 });
    const flat = meshOf(
      [...cube.positions, 9, 9, 9, 8, 8, 8, 7, 7, 7],
      [...cube.triangles, 0, 0, 1, 8, 9, 10],
    );
    expect(report(flat)).toMatchObject({ degenerate: 2, openEdges: 3, shells: 2 });
  });

  it('has two cubes that share an edge as two shells', () => {
    const { mesh } = weld(toSoup(join(box(2), transformed(box(2), { shift: [2, 2, 0] }))), uninterrupted);
    expect(report(mesh)).toMatchObject({ shells: 2, nonmanifoldEdges: 1, vertices: 14 });
    expect(labelShells(mesh).count).toBe(2);
  });

  it('stays linear at a vertex of huge valence', () => {
    const { openEdges, watertight } = report(cone(10, 5, 200_000));
    expect([openEdges, watertight]).toEqual([0, true]);
  });
});

const turns: Vec3[] = [
  [0, 0, 0],
  [31, -77, 123],
  [180, 90, 0],
];

describe.each(turns)('massProperties turned %s %s %s', (...turn) => {
  const solids: [string, Mesh, number, number, Vec3][] = [
    ['box', box([2, 3, 4]), 24, 52, [0, 0, 0]],
    [
      'cone',
      cone(3, 8, 5),
      (polygonArea(3, 5) * 8) / 3,
      polygonArea(3, 5) + 2.5 * 2 * 3 * Math.sin(Math.PI / 5) * Math.hypot(8, 3 * Math.cos(Math.PI / 5)),
      [0, 0, 2],
    ],
    [
      'cylinder',
      cylinder(2, 5, 7),
      polygonArea(2, 7) * 5,
      2 * polygonArea(2, 7) + 7 * 4 * Math.sin(Math.PI / 7) * 5,
      [0, 0, 2.5],
    ],
  ];

  it.each(solids)('%s', (_name, mesh, volume, area, centre) => {
    const shift: Vec3 = [300, -200, 100];
    const got = massProperties(transformed(mesh, { turn, shift, scale: 2 }), uninterrupted);
    const at = massProperties(
      transformed(
        meshOf(
          centre.map((c) => 2 * c),
          [],
        ),
        { turn, shift },
      ),
      uninterrupted,
    );
    expect(got.volume / (8 * volume)).toBeCloseTo(1, 4);
    expect(got.area / (4 * area)).toBeCloseTo(1, 5);
    for (let axis = 0; axis < 3; axis++) expect(got.centroid[axis]).toBeCloseTo(at.bounds.min[axis]!, 3);
  });
});

it('turned inside out has the negative volume and the same centre', () => {
  const mesh = transformed(sphere(7), { shift: [1, 2, 3] });
  const out = massProperties(mesh, uninterrupted);
  const inward = massProperties(reversed(mesh), uninterrupted);
  expect(inward.volume).toBe(-out.volume);
  expect(inward.centroid[2]).toBeCloseTo(3, 5);
});
