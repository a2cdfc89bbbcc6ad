import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { classifyShells } from '../../../src/core/mesh/classifyShells.ts';
import { closedSurface } from '../../../src/core/mesh/closedSurface.ts';
import { labelShells } from '../../../src/core/mesh/labelShells.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { repairMesh } from '../../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { closedByEdges } from '../../oracles/closedByEdges.ts';
import { afresh, expectLikeSlowTwins } from '../../oracles/expectLikeSlowTwins.ts';
import { measureShells } from '../../oracles/measureShells.ts';
import {
  box,
  cone,
  cup,
  hollowSphere,
  icosphere,
  join,
  meshOf,
  random,
  reversed,
  torus,
  transformed,
} from '../../shapes.ts';

const cube = box(2);
const beside = transformed(box(2), { shift: [5, 0, 0] });
const shapes: [string, Mesh, number | null][] = [
  ['cube', cube, 1],
  ['torus', torus(10, 3), 1],
  ['sphere', icosphere(5, 4), 1],
  ['cone with a tip of many facets', cone(3, 5, 700), 1],
  ['hollow sphere', hollowSphere(10, 1), 2],
  ['inside out', reversed(torus(10, 3)), 1],
  ['three bodies', join(cube, beside, cup(3, 2, 5, 1)), 3],
  ['nothing', meshOf([], []), null],
  ['no facets', meshOf([0, 0, 0, 1, 1, 1], []), null],
  ['a facet missing', { ...cube, triangles: cube.triangles.slice(3) }, null],
  [
    'a facet twice',
    { ...cube, triangles: Uint32Array.from([...cube.triangles, ...cube.triangles.slice(0, 3)]) },
    null,
  ],
  [
    'a body twice over',
    { ...cube, triangles: Uint32Array.from([...cube.triangles, ...cube.triangles]) },
    null,
  ],
  ['a sheet without thickness', meshOf([0, 0, 0, 1, 0, 0, 0, 1, 0], [0, 1, 2, 0, 2, 1]), null],
  [
    'a facet turned round',
    { ...cube, triangles: Uint32Array.from([0, 6, 4, ...cube.triangles.slice(3)]) },
    null,
  ],
  ['a vertex nobody uses', { ...cube, positions: Float32Array.from([...cube.positions, 9, 9, 9]) }, null],
  [
    'a facet with two equal corners',
    { ...cube, triangles: Uint32Array.from([...cube.triangles, 0, 0, 1]) },
    null,
  ],
  [
    'a facet that is one point, twice',
    { ...cube, triangles: Uint32Array.from([...cube.triangles, 3, 3, 3, 3, 3, 3]) },
    null,
  ],
  ['two bodies that share a corner', glued(join(cube, beside), [[7, 8]]), null],
  [
    'two bodies that share an edge',
    glued(join(cube, beside), [
      [1, 8],
      [3, 10],
    ]),
    null,
  ],
  ['a body that meets itself in a corner', glued(torus(10, 3, 12, 8), [[0, 48]]), null],
];

/** Vertices made one, whatever their places; the second of each pair stays unused, so it goes. */
function glued({ positions, triangles }: Mesh, pairs: readonly (readonly [number, number])[]): Mesh {
  const to = Uint32Array.from({ length: positions.length / 3 }, (_, v) => v);
  for (const [keep, drop] of pairs) to[drop] = to[keep]!;
  const number = new Map([...new Set(to)].map((v, i) => [v, i]));
  return {
    positions: Float32Array.from(
      [...number.keys()].flatMap((v) => [...positions.subarray(3 * v, 3 * v + 3)]),
    ),
    triangles: triangles.map((v) => number.get(to[v]!)!),
  };
}

describe('a closed surface is told, and told as the slower way does', () => {
  it.each(shapes)('%s', (_name, mesh, shells) => {
    expect(closedSurface(afresh(mesh), uninterrupted)?.shells.count ?? null).toBe(shells);
    if (mesh.triangles.length < 5000) expect(closedByEdges(mesh)).toBe(shells !== null);
    expectLikeSlowTwins(mesh);
  });
});

it('is remembered for the mesh and for the mesh turned outward', () => {
  const mesh = reversed(hollowSphere(10, 1));
  const shells = labelShells(mesh);
  expect(labelShells(mesh)).toBe(shells);
  expect(labelShells(repairMesh(mesh, uninterrupted).mesh)).toBe(shells);
});

it('keeps flat facets of a closed surface, as the slower way does', () => {
  // The middle of an edge is a corner of both neighbours: one of them has no area.
  const flat = meshOf(
    [0, 0, 0, 2, 0, 0, 0, 2, 0, 0, 0, 2, 1, 0, 0],
    [0, 2, 1, 0, 4, 3, 4, 1, 3, 1, 2, 3, 0, 3, 2, 0, 1, 4],
  );
  expect(reportTopology(flat, uninterrupted)).toMatchObject({ watertight: true, degenerate: 1 });
  expectLikeSlowTwins(flat);
});

it('does not mistake any small complex', () => {
  const seed = 20_251;
  const next = random(seed);
  const pick = (n: number) => Math.floor(next() * n);
  const pieces = [
    cube,
    icosphere(1, 0),
    torus(4, 1, 4, 3),
    meshOf([0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1], [0, 2, 1, 0, 1, 3, 1, 2, 3, 0, 3, 2]),
  ];
  let closed = 0;
  for (let round = 0; round < 3000; round++) {
    let mesh = join(
      ...Array.from({ length: 1 + pick(3) }, () =>
        transformed(pieces[pick(pieces.length)]!, {
          shift: [pick(9), pick(9), pick(9)],
          turn: [pick(90), 0, 0],
        }),
      ),
    );
    if (pick(2) === 0) {
      const vertices = mesh.positions.length / 3;
      mesh = glued(
        mesh,
        Array.from({ length: pick(4) }, () => [pick(vertices), pick(vertices)] as const),
      );
    }
    const order = Array.from({ length: mesh.triangles.length / 3 }, (_, f) => [next(), f] as const).sort();
    let facets = order.map(([, f]) => [...mesh.triangles.subarray(3 * f, 3 * f + 3)]);
    if (pick(4) === 0) facets = facets.map((f) => (pick(facets.length) === 0 ? f.reverse() : f));
    if (pick(4) === 0) facets = facets.filter(() => pick(facets.length) > 0);
    if (pick(4) === 0) facets.push(facets[pick(facets.length)]!);
    const turnedAt = pick(3);
    facets = facets.map((f) => [f[turnedAt]!, f[(turnedAt + 1) % 3]!, f[(turnedAt + 2) % 3]!]);
    const complex = { positions: mesh.positions, triangles: Uint32Array.from(facets.flat()) };
    const surface = closedSurface(complex, uninterrupted);
    const note = `seed ${seed}, round ${round}`;
    expect(surface !== null, note).toBe(closedByEdges(complex));
    if (surface !== null) closed++;
    if (round % 10 === 0) expectLikeSlowTwins(complex, note);
  }
  expect(closed).toBeGreaterThan(300);
  expect(closed).toBeLessThan(2700);
}, 180_000);

it('gives up a vertex that lures it into vain looks, and says the same by the slower way', () => {
  // A double cone. Its rim is numbered by twos up and down, so that after every other facet around a tip
  // the differences cancel without a ring.
  const rim = 4000;
  const number = (i: number) => 2 + (i < rim / 2 ? 2 * i : 2 * (rim - 1 - i) + 1);
  const positions = new Float32Array(3 * (rim + 2)).fill(0);
  positions.set([0, 0, 5, 0, 0, -5]);
  for (let i = 0; i < rim; i++) {
    const angle = (2 * Math.PI * i) / rim;
    positions.set([Math.cos(angle), Math.sin(angle)], 3 * number(i));
  }
  const facets = Array.from({ length: rim }, (_, i) => {
    const next = number((i + 1) % rim);
    return [0, number(i), next, 1, next, number(i)];
  });
  const inTurn = { positions, triangles: Uint32Array.from(facets.flat()) };
  const pairs = Array.from({ length: rim / 2 - 1 }, (_, i) => [facets[i]!, facets[rim - 2 - i]!]);
  const luring = [facets[rim / 2 - 1]!, facets[rim - 1]!, ...pairs.flat()];
  const lure = { positions, triangles: Uint32Array.from(luring.flat()) };
  expect(closedSurface(inTurn, uninterrupted)?.shells.count).toBe(1);
  expect(closedSurface(lure, uninterrupted)).toBe(null);
  expect(reportTopology(lure, uninterrupted)).toMatchObject({ watertight: true, shells: 1 });
  expectLikeSlowTwins(lure);
});

it('measures shells to the bit as facet by facet', () => {
  const mesh = join(
    hollowSphere(10, 1),
    transformed(torus(10, 3), { shift: [40, 1, 2], turn: [10, 20, 30] }),
    box(1),
  );
  const next = random(9);
  const order = Array.from({ length: mesh.triangles.length / 3 }, (_, f) => [next(), f] as const).sort();
  const mixed = {
    positions: mesh.positions,
    triangles: Uint32Array.from(order.flatMap(([, f]) => [...mesh.triangles.subarray(3 * f, 3 * f + 3)])),
  };
  for (const each of [mesh, mixed, torus(10, 3)]) {
    const labels = labelShells(each);
    const { triangles, volume, bounds } = measureShells(each, labels);
    const { shells } = classifyShells(each, labels, uninterrupted);
    expect(shells.map((shell) => shell.triangles)).toEqual([...triangles]);
    expect(shells.map((shell) => shell.volume)).toEqual([...volume]);
    expect(shells.flatMap((shell) => [...shell.bounds.min, ...shell.bounds.max])).toEqual([...bounds]);
  }
});
