import type { ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import { add, normalized, scale, type Vec3 } from '../../../src/core/vector.ts';
import { cutWhole } from '../../../src/solid/cutWhole.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { makeReady, type ReadySolid } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import * as shapes from '../../shapes.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await openSolid();
});

interface Part {
  readonly outer: Mesh;
  readonly cavity: Mesh | null;
  readonly cutters: readonly Mesh[];
}

const bore = (mouth: Vec3, into: Vec3, radius: number, depth: number, outward = 0.5): Mesh =>
  cutterMesh({ id: 'vents/0', kind: 'vent', mouth, axis: normalized(into), radius, depth, outward });

function ready({ outer, cavity, cutters }: Part): ReadySolid {
  const result = makeReady(kernel, outer, cavity, cutters, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

const wholeOf = ({ outer, cavity }: Part): Mesh =>
  cavity === null ? outer : shapes.join(outer, shapes.reversed(cavity));

/** Relative difference of volume from the boolean of the whole part. */
function volumeError(mesh: Mesh, part: Part): number {
  const cut = cutWhole(kernel, wholeOf(part), part.cutters);
  if (!cut.ok) throw new Error(cut.error.message);
  return Math.abs(shapes.volumeOf(mesh) / shapes.volumeOf(cut.value) - 1);
}

const corners = ({ positions, triangles }: Mesh, facet: number): number[] =>
  [0, 1, 2].flatMap((k) => [0, 1, 2].map((axis) => positions[3 * triangles[3 * facet + k]! + axis]!));

/** Least and greatest coordinate by axis, of corners three numbers each. */
function boxOf(points: ArrayLike<number>): [number[], number[]] {
  const box: [number[], number[]] = [
    [Infinity, Infinity, Infinity],
    [-Infinity, -Infinity, -Infinity],
  ];
  for (let at = 0; at < points.length; at++) {
    box[0][at % 3] = Math.min(box[0][at % 3]!, points[at]!);
    box[1][at % 3] = Math.max(box[1][at % 3]!, points[at]!);
  }
  return box;
}

/** Facets whose box is further than `distance` from the box of every cutter, in their order. */
function facetsAway(mesh: Mesh, cutters: readonly Mesh[], distance: number): number[][] {
  const boxes = cutters.map(({ positions }) => boxOf(positions));
  const isAway = (facet: number[]): boolean => {
    const [low, high] = boxOf(facet);
    return boxes.every(([min, max]) =>
      [0, 1, 2].some((axis) => low[axis]! > max[axis]! + distance || high[axis]! < min[axis]! - distance),
    );
  };
  return Array.from({ length: mesh.triangles.length / 3 }, (_, facet) => corners(mesh, facet)).filter(isAway);
}

/** Bit-equal corners welded: what a reader of the STL makes of it. */
function welded({ positions, triangles }: Mesh): Mesh {
  const known = new Map<string, number>();
  const number = Array.from({ length: positions.length / 3 }, (_, v) => {
    const key = positions
      .subarray(3 * v, 3 * v + 3)
      .map((value) => value + 0)
      .join();
    if (!known.has(key)) known.set(key, v);
    return known.get(key)!;
  });
  return { positions, triangles: triangles.map((v) => number[v]!) };
}

/** All that a part cut only near its openings has to keep; facets stay that are further from them than `distance`, mm. */
function expectExact(part: Part, distance: number): Mesh {
  const { mesh, notes } = ready(part);
  expect(notes).toEqual([]);
  expect(isClosed(welded(mesh))).toBe(true);
  expect(volumeError(mesh, part)).toBeLessThan(1e-6);
  const away = facetsAway(wholeOf(part), part.cutters, distance);
  const facets = away.length === 0 ? 0 : mesh.triangles.length / 3;
  let next = 0;
  for (let facet = 0; facet < facets && next < away.length; facet++) {
    if (corners(mesh, facet).every((value, k) => Object.is(value, away[next]![k]))) next++;
  }
  expect(next).toBe(away.length);
  const solid = kernel.Manifold.ofMesh(
    new kernel.Mesh({ numProp: 3, vertProperties: mesh.positions, triVerts: mesh.triangles }),
  );
  expect(solid.status()).toBe('NoError');
  solid.delete();
  return mesh;
}

/** Every facet in four, `times` over: a box as a mesh of many even facets, edges along the axes. */
function gridded(mesh: Mesh, times: number): Mesh {
  let { positions, triangles } = { positions: [...mesh.positions], triangles: [...mesh.triangles] };
  for (let n = 0; n < times; n++) {
    const middles = new Map<string, number>();
    const middle = (a: number, b: number): number => {
      const key = `${Math.min(a, b)} ${Math.max(a, b)}`;
      if (!middles.has(key)) {
        middles.set(key, positions.length / 3);
        for (let axis = 0; axis < 3; axis++)
          positions.push((positions[3 * a + axis]! + positions[3 * b + axis]!) / 2);
      }
      return middles.get(key)!;
    };
    triangles = Array.from({ length: triangles.length / 3 }, (_, f) =>
      triangles.slice(3 * f, 3 * f + 3),
    ).flatMap(([a, b, c]) => {
      const [ab, bc, ca] = [middle(a!, b!), middle(b!, c!), middle(c!, a!)];
      return [a!, ab, ca, b!, bc, ab, c!, ca, bc, ab, bc, ca];
    });
  }
  return shapes.meshOf(positions, triangles);
}

/** A sphere with bumps of `height` mm. */
function bumpy(radius: number, height: number, subdivisions: number): Mesh {
  const { positions, triangles } = shapes.icosphere(radius, subdivisions);
  const moved = positions.slice();
  for (let at = 0; at < moved.length; at += 3) {
    const [x, y, z] = [positions[at]!, positions[at + 1]!, positions[at + 2]!];
    const bump = 1 + (height / radius) * Math.sin(1.7 * x) * Math.sin(1.9 * y) * Math.sin(2.3 * z);
    for (let axis = 0; axis < 3; axis++) moved[at + axis] = positions[at + axis]! * bump;
  }
  return { positions: moved, triangles };
}

const hollowBox = { outer: gridded(shapes.box(20), 4), cavity: gridded(shapes.box(17), 4) };
const coarseBox = { outer: shapes.box(20), cavity: shapes.box(17) };
const hollowBall = { outer: shapes.icosphere(12, 5), cavity: shapes.icosphere(10.5, 5) };
const hollowRing = { outer: shapes.torus(20, 6, 160, 80), cavity: shapes.torus(20, 4.5, 160, 60) };

const parts: [string, Part][] = [
  ['a vent in a box of twelve facets', { ...coarseBox, cutters: [bore([1, 2, 10], [0, 0, -1], 2, 3)] }],
  ['a vent in a finely meshed box', { ...hollowBox, cutters: [bore([0.3, 0.4, 10], [0, 0, -1], 1.5, 3)] }],
  ['a vent on the lines of the mesh', { ...hollowBox, cutters: [bore([0, 0, 10], [0, 0, -1], 2.5, 3)] }],
  [
    'a vent along an edge of the box',
    { ...hollowBox, cutters: [bore([10, 0.2, 10], [-1, 0, -1], 1.2, 4, 2)] },
  ],
  ['a vent at a corner of the box', { ...hollowBox, cutters: [bore([10, 10, 10], [-1, -1, -1], 1.5, 6, 3)] }],
  ['a slanting vent', { ...hollowBox, cutters: [bore([2, -3, 10], [0.7, 0.4, -1], 1.3, 5, 1.5)] }],
  [
    'a tube through two walls',
    { ...hollowBox, cutters: [bore([0.1, 0.2, 10], [0.02, 0.01, -1], 1.5, 21, 1)] },
  ],
  [
    'three vents in a ball',
    {
      ...hollowBall,
      cutters: [
        bore([0, 0, 12], [0, 0, -1], 1.5, 3),
        bore([12, 0, 0], [-1, 0, 0], 2, 3),
        bore([0, -12, 0], [0.2, 1, 0.1], 1, 3),
      ],
    },
  ],
  [
    'two vents close together',
    {
      ...hollowBall,
      cutters: [bore([1.2, 0, 11.9], [0, 0, -1], 1, 3), bore([-1.1, 0, 11.9], [0, 0, -1], 1, 3)],
    },
  ],
  [
    'two vents that cut each other',
    {
      ...hollowBall,
      cutters: [bore([0.6, 0, 11.9], [0, 0, -1], 1, 3), bore([-0.5, 0.1, 11.9], [0, 0, -1], 1, 3)],
    },
  ],
  [
    'vents from both sides of a tube of a ring',
    { ...hollowRing, cutters: [bore([26, 0, 0], [-1, 0, 0], 1.5, 3), bore([14, 0, 0], [1, 0, 0], 1.5, 3)] },
  ],
  ['a tube across the tube of a ring', { ...hollowRing, cutters: [bore([20, 0, 6], [0, 0, -1], 1, 13)] }],
  ['a vent that ends within the wall', { ...hollowBall, cutters: [bore([0, 0, 12], [0, 0.1, -1], 2, 0.9)] }],
  [
    'a vent on a bumpy surface',
    {
      outer: bumpy(12, 0.6, 5),
      cavity: shapes.icosphere(10, 5),
      cutters: [bore([0, 5, 11], [0, -5, -11], 1.5, 4, 1.5)],
    },
  ],
  [
    'a bore in a solid ball',
    { outer: shapes.icosphere(9, 4), cavity: null, cutters: [bore([9, 0, 0], [-1, 0, 0], 1, 5)] },
  ],
  [
    'a bore wholly within the solid',
    { outer: gridded(shapes.box(20), 4), cavity: null, cutters: [bore([0, 0, 3], [0, 0, -1], 2, 4)] },
  ],
  ['a bore wholly outside', { ...hollowBall, cutters: [bore([0, 0, 20], [0, 0, -1], 2, 4)] }],
  ['a bore wholly in the hollow', { ...hollowBall, cutters: [bore([0, 0, 3], [0, 0, -1], 2, 4)] }],
  [
    'a plate close above the mouth',
    {
      outer: shapes.join(
        hollowBox.outer,
        shapes.transformed(gridded(shapes.box([20, 20, 2]), 4), { shift: [0, 0, 11.6] }),
      ),
      cavity: hollowBox.cavity,
      cutters: [bore([0.3, 0.2, 10], [0, 0, -1], 2, 3, 0.55)],
    },
  ],
];

describe('cut near the openings only', () => {
  test.each(parts)('%s', (_, part) => {
    expectExact(part, 0.2);
  });
});

/** Vents at random places of a ball, a bumpy ball or a ring, slanting, of random width and depth. */
function randomPart(seed: number): Part {
  const next = shapes.random(seed);
  const between = (low: number, high: number): number => low + (high - low) * next();
  const turn: Vec3 = [between(0, 360), between(0, 360), between(0, 360)];
  const placed = (mesh: Mesh): Mesh => shapes.transformed(mesh, { turn, shift: [70, 80, 90] });
  const kind = seed % 3;
  const outer = [shapes.icosphere(12, 4), bumpy(12, 0.4, 5), shapes.torus(14, 5, 90, 40)][kind]!;
  const cavity = [shapes.icosphere(10.5, 4), shapes.icosphere(10.2, 4), shapes.torus(14, 3.5, 90, 30)][kind]!;
  const cutters = Array.from({ length: 1 + Math.floor(between(0, 4)) }, () => {
    const vertex = Math.floor(next() * (outer.positions.length / 3));
    const mouth = [0, 1, 2].map((axis) => outer.positions[3 * vertex + axis]!) as unknown as Vec3;
    const ring = kind === 2 ? scale(normalized([mouth[0], mouth[1], 0]), 14) : ([0, 0, 0] as const);
    const inward = normalized(add(ring, scale(mouth, -1)));
    const slant: Vec3 = [between(-0.6, 0.6), between(-0.6, 0.6), between(-0.6, 0.6)];
    const radius = between(0.4, 2);
    return placed(bore(mouth, add(inward, slant), radius, between(1, 7), between(0.3, 2)));
  });
  return { outer: placed(outer), cavity: placed(cavity), cutters };
}

describe('random vents', () => {
  test.each(Array.from({ length: 30 }, (_, n) => 4100 + n))('seed %i', (seed) => {
    expectExact(randomPart(seed), 2);
  });
});

describe('a neighbourhood that is not clean', () => {
  test.each<[string, Part, RegExp]>([
    [
      'a cutter that is not convex',
      { ...hollowBall, cutters: [shapes.transformed(shapes.torus(2, 0.7, 30, 20), { shift: [0, 0, 11.5] })] },
      /as a whole, because a tube is curved/,
    ],
    [
      'two bodies that touch along the border',
      {
        outer: shapes.join(hollowBox.outer, shapes.transformed(hollowBox.outer, { shift: [20, 0, 0] })),
        cavity: hollowBox.cavity,
        cutters: [bore([10, 0.3, 10], [0, 0, -1], 1.5, 3)],
      },
      /as a whole, because the surface there touches itself/,
    ],
  ])('%s: the whole is cut, and a note says so', (_, part, reason) => {
    const { mesh, notes } = ready(part);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(reason);
    expect(isClosed(welded(mesh))).toBe(true);
    expect(volumeError(mesh, part)).toBeLessThan(1e-6);
  });

  test('an open part is still told to be open', () => {
    const open = { ...hollowBall.outer, triangles: hollowBall.outer.triangles.slice(3) };
    const result = makeReady(
      kernel,
      open,
      hollowBall.cavity,
      [bore([0, 0, 12], [0, 0, -1], 1.5, 3)],
      uninterrupted,
    );
    expect(result.ok ? 'made' : result.error.code).toBe('solid-not-closed');
  });
});
