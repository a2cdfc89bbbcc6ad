import type { ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import type { Bar } from '../../../src/core/supports/supportBodies.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { shapeSupports } from '../../../src/solid/shapeSupports.ts';
import { supportPieces } from '../../../src/solid/supportPieces.ts';
import { uniteSupports } from '../../../src/solid/uniteSupports.ts';
import * as shapes from '../../shapes.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await openSolid();
});

function valueIn<T>(result: { ok: true; value: T } | { ok: false; error: { message: string } }): T {
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

function united(part: Mesh, bars: readonly Bar[]) {
  const supports = valueIn(shapeSupports(kernel, bars, uninterrupted));
  const pieces = valueIn(supportPieces(kernel, bars, uninterrupted));
  return { supports, ...valueIn(uniteSupports(kernel, part, supports, pieces, uninterrupted)) };
}

/** By the kernel's boolean of both as wholes. */
function wholeVolume(part: Mesh, supports: Mesh): number {
  const solid = ({ positions, triangles }: Mesh) =>
    kernel.Manifold.ofMesh(new kernel.Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles }));
  const [a, b] = [solid(part), solid(supports)];
  const both = a.add(b);
  const volume = both.volume();
  for (const one of [a, b, both]) one.delete();
  return volume;
}

const corners = ({ positions, triangles }: Mesh, facet: number): string =>
  [0, 1, 2].flatMap((k) => [0, 1, 2].map((axis) => positions[3 * triangles[3 * facet + k]! + axis]!)).join();
const facetsOf = (mesh: Mesh): string[] =>
  Array.from({ length: mesh.triangles.length / 3 }, (_, facet) => corners(mesh, facet));

/** Area of the circle's polygon of 16 sides against r². */
const sixteen = 8 * Math.sin(Math.PI / 8);
const frustum = (r: number, s: number, height: number): number =>
  (sixteen * height * (r * r + r * s + s * s)) / 3;

/** A tip under `at`, which it reaches 0.15 mm into, and a strut down to a foot of 2 mm. */
function support([x, y, z]: Vec3, tip = 0.2, strut = 0.5, cone = 2): Bar[] {
  const head: Vec3 = [x, y, z - cone];
  return [
    { from: [x, y, z + 0.15], to: head, fromRadius: tip, toRadius: strut },
    { from: head, to: [x, y, 0], fromRadius: strut, toRadius: strut },
    { from: [x, y, 1], to: [x, y, 0], fromRadius: 2.5, toRadius: 2 },
  ];
}

const at = (mesh: Mesh, shift: Vec3): Mesh => shapes.transformed(mesh, { shift });
/** From z = 8 on. */
const slab = at(shapes.box([30, 20, 3]), [0, 0, 9.5]);

describe('part and supports as one solid', () => {
  test('a slab on six struts: both volumes less what the tips share with it', () => {
    const places = [-10, 0.3, 10].flatMap((x) => [-6.2, 6].map((y): Vec3 => [x, y, 8]));
    const { mesh, notes, supports } = united(
      slab,
      places.flatMap((place) => support(place)),
    );
    expect(notes).toEqual([]);
    const { watertight, shells, signedVolume } = reportTopology(mesh, uninterrupted);
    expect([watertight, shells]).toEqual([true, 1]);
    // Of a cone from 0.5 at the head to 0.2 in 2.15 mm, the last 0.15 mm.
    const width = 0.2 + (0.3 * 0.15) / 2.15;
    const shared = 6 * frustum(0.2, width, 0.15);
    expect(signedVolume).toBeCloseTo(30 * 20 * 3 + shapes.volumeOf(supports) - shared, 3);
    expect(shared).toBeGreaterThan(0.05);
    // The same by hand: cones, struts above their feet, feet.
    const one = frustum(0.2, 0.5, 2.15) + frustum(0.5, 0.5, 5) + frustum(2.5, 2, 1);
    expect(shapes.volumeOf(supports)).toBeCloseTo(6 * one, 3);
  });

  test('facets of the part away from the tips come first and stay to the bit', () => {
    const part = at(shapes.icosphere(12, 5), [0, 0, 20]);
    const { mesh, notes, supports } = united(part, support([0, 0, 8.02]));
    expect(notes).toEqual([]);
    const [before, after] = [facetsOf(part), facetsOf(mesh)];
    const lowest = (facet: number): number =>
      Math.min(...[0, 1, 2].map((k) => part.positions[3 * part.triangles[3 * facet + k]! + 2]!));
    const kept = before.filter((_, facet) => lowest(facet) > 8.6);
    expect(kept.length).toBeGreaterThan(0.97 * before.length);
    const firsts = new Set(after.slice(0, before.length));
    expect(kept.every((facet) => firsts.has(facet))).toBe(true);
    expect(after.slice(0, 100)).toEqual(before.filter((facet) => firsts.has(facet)).slice(0, 100));
    // So do those of the supports below the tip.
    const all = new Set(after);
    const below = facetsOf(supports).filter((_, facet) =>
      [0, 1, 2].every((k) => supports.positions[3 * supports.triangles[3 * facet + k]! + 2]! < 5.9),
    );
    expect(below.length).toBeGreaterThan(20);
    expect(below.every((facet) => all.has(facet))).toBe(true);
  });

  const hollow = shapes.join(
    at(shapes.icosphere(12, 5), [0, 0, 20]),
    shapes.reversed(at(shapes.icosphere(10.5, 5), [0, 0, 20])),
  );
  const underBall = (x: number, y: number): Vec3 => [x, y, 20 - Math.sqrt(144 - x * x - y * y)];

  test.each<[string, Mesh, Bar[]]>([
    [
      'tips on the slope of a hollow ball',
      hollow,
      [
        [4, 0],
        [-5, 3],
        [0, -7],
      ].flatMap(([x, y]) => support(underBall(x!, y!))),
    ],
    [
      'tips that stand in each other',
      hollow,
      [
        [0, 0],
        [0.3, 0.1],
        [0.5, 0],
      ].flatMap(([x, y]) => support(underBall(x!, y!))),
    ],
    [
      'a strut from wall to wall inside a hollow',
      shapes.join(at(shapes.box(20), [0, 0, 12]), shapes.reversed(at(shapes.box(17), [0, 0, 12]))),
      [
        { from: [1, 2, 20.65], to: [1, 2, 18], fromRadius: 0.2, toRadius: 0.5 },
        { from: [1, 2, 18], to: [1, 2, 6], fromRadius: 0.5, toRadius: 0.5 },
        { from: [1, 2, 6], to: [1, 2, 3.35], fromRadius: 0.5, toRadius: 0.2 },
      ],
    ],
    [
      'a leaning strut with balls at its ends',
      slab,
      [
        { from: [2, 1, 8.15], to: [2, 1, 6], fromRadius: 0.2, toRadius: 0.6 },
        { from: [2, 1, 6], to: [5, 1, 3], fromRadius: 0.6, toRadius: 0.6 },
        { from: [5, 1, 3], to: [5, 1, 0], fromRadius: 0.6, toRadius: 0.6 },
      ],
    ],
    [
      'bars that overlap lengthwise between two slabs',
      shapes.join(slab, at(shapes.box([30, 20, 1]), [0, 0, 0.5])),
      [
        { from: [3, 3, 8.15], to: [3, 3, 4], fromRadius: 0.5, toRadius: 0.5 },
        { from: [3, 3, 6], to: [3, 3, 0.85], fromRadius: 0.5, toRadius: 0.5 },
      ],
    ],
    ['a tip across the rim of the slab', slab, support([15, 0.2, 8], 0.4)],
    ['a tip that does not reach the part', slab, [...support([0, 0, 7]), ...support([5, 5, 8])]],
  ])('%s', (_, part, bars) => {
    const { mesh, notes, supports } = united(part, bars);
    expect(notes).toEqual([]);
    expect(reportTopology(mesh, uninterrupted).watertight).toBe(true);
    expect(Math.abs(shapes.volumeOf(mesh) / wholeVolume(part, supports) - 1)).toBeLessThan(1e-6);
  });

  test.each(Array.from({ length: 12 }, (_, n) => 7300 + n))(
    'tips at random under a bumpy ball, seed %i',
    (seed) => {
      const next = shapes.random(seed);
      const between = (low: number, high: number): number => low + (high - low) * next();
      const radius = 12;
      const ball = shapes.icosphere(radius, 4);
      const bumpy = {
        ...ball,
        positions: ball.positions.map((v, n) => v * (1 + 0.02 * Math.sin(2 * ball.positions[n - (n % 3)]!))),
      };
      const part = at(bumpy, [0, 0, 20]);
      const bars = Array.from({ length: 8 }, () => {
        const [x, y] = [between(-7, 7), between(-7, 7)];
        return support(
          [x, y, underBall(x, y)[2] + between(-0.1, 0.2)],
          between(0.1, 0.6),
          between(0.6, 0.9),
          between(1, 3),
        );
      }).flat();
      const { mesh, supports } = united(part, bars);
      expect(reportTopology(mesh, uninterrupted).watertight).toBe(true);
      expect(Math.abs(shapes.volumeOf(mesh) / wholeVolume(part, supports) - 1)).toBeLessThan(1e-6);
    },
  );

  test.each<[string, Bar[], RegExp]>([
    [
      'a strut that runs through the slab',
      [{ from: [3, 3, 12], to: [3, 3, 0], fromRadius: 1, toRadius: 1 }],
      /^$/,
    ],
    [
      'a bar wholly within the slab',
      [...support([5, 5, 8]), { from: [3, 3, 10], to: [3, 3, 9], fromRadius: 0.4, toRadius: 0.3 }],
      /as a whole, because a piece of a support lies within the part/,
    ],
  ])('%s', (_, bars, note) => {
    const { mesh, notes, supports } = united(slab, bars);
    expect(notes.join(' ')).toMatch(note);
    expect(reportTopology(mesh, uninterrupted).watertight).toBe(true);
    expect(Math.abs(shapes.volumeOf(mesh) / wholeVolume(slab, supports) - 1)).toBeLessThan(1e-6);
  });

  test('a foot on more facets than a call takes arguments', () => {
    // Finer and finer towards the place: 2 · 400² facets under a foot of 2.5 mm.
    const fine = finePlate(400, 2);
    const bars: Bar[] = [{ from: [0.013, 0.021, 0.85], to: [0.013, 0.021, 6], fromRadius: 2.5, toRadius: 2 }];
    const { mesh, notes, supports } = united(fine, bars);
    expect(notes).toEqual([]);
    expect(reportTopology(mesh, uninterrupted).watertight).toBe(true);
    const shared = frustum(2.5, 2.5 - (0.5 * 0.15) / 5.15, 0.15);
    expect(shapes.volumeOf(mesh)).toBeCloseTo(shapes.volumeOf(fine) + shapes.volumeOf(supports) - shared, 3);
  }, 30_000);

  test('the same bytes twice', () => {
    const bars = [
      [4, 0],
      [-5, 3],
    ].flatMap(([x, y]) => support(underBall(x!, y!)));
    const [first, second] = [united(hollow, bars).mesh, united(hollow, bars).mesh];
    expect(Buffer.from(first.positions.buffer).equals(Buffer.from(second.positions.buffer))).toBe(true);
    expect(first.triangles).toEqual(second.triangles);
  });
});

/** A box 10 mm square and 1 mm high whose top has a field of n × n squares within `reach` of its middle. */
function finePlate(n: number, reach: number): Mesh {
  const ticks = [-5, ...Array.from({ length: n + 1 }, (_, i) => -reach + (2 * reach * i) / n), 5];
  const count = ticks.length;
  const positions = ticks.flatMap((y) => ticks.flatMap((x) => [x, y, 1]));
  const triangles: number[] = [];
  const top = (i: number, j: number): number => j * count + i;
  for (let j = 0; j + 1 < count; j++) {
    for (let i = 0; i + 1 < count; i++) {
      const [a, b, c, d] = [top(i, j), top(i + 1, j), top(i + 1, j + 1), top(i, j + 1)];
      triangles.push(a, b, c, a, c, d);
    }
  }
  const last = count - 1;
  const round = [
    ...Array.from({ length: last }, (_, i) => top(i, 0)),
    ...Array.from({ length: last }, (_, j) => top(last, j)),
    ...Array.from({ length: last }, (_, i) => top(last - i, last)),
    ...Array.from({ length: last }, (_, j) => top(0, last - j)),
  ];
  const below = positions.length / 3;
  for (const vertex of round) positions.push(positions[3 * vertex]!, positions[3 * vertex + 1]!, 0);
  const middle = positions.length / 3;
  positions.push(0, 0, 0);
  round.forEach((vertex, at) => {
    const next = (at + 1) % round.length;
    triangles.push(vertex, below + at, round[next]!, round[next]!, below + at, below + next);
    triangles.push(middle, below + next, below + at);
  });
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) };
}
