import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import { proofBoxes } from '../../../src/core/proof/proofBoxes.ts';
import type { ProofPlace } from '../../../src/core/proof/proofPlace.ts';
import type { Box, Vec3 } from '../../../src/core/vector.ts';
import { makeReady } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { proofPiece } from '../../../src/solid/proofPiece.ts';
import { uniteShells } from '../../../src/solid/uniteShells.ts';
import * as shapes from '../../shapes.ts';

const setting = {
  selfSupportDeg: 19,
  ceilingMm2: 100,
  ceilingSpanMm: 10,
  layerMm: 0.05,
  leastMm2: 0.5,
  peelKpa: 10,
  plateHoldKpa: 100,
};

const at = (mesh: Mesh, shift: Vec3): Mesh => shapes.transformed(mesh, { shift });
const hollow = (outer: Mesh, cavity: Mesh): Mesh => shapes.join(outer, shapes.reversed(cavity));

const cube = (middle: Vec3, size: number): Box => ({
  min: middle.map((value) => value - size / 2) as unknown as Vec3,
  max: middle.map((value) => value + size / 2) as unknown as Vec3,
});
const place = (middle: Vec3, reach = 1, kind: ProofPlace['kind'] = 'place'): ProofPlace => ({
  kind,
  opening: null,
  at: middle,
  feature: cube(middle, 2 * reach),
  whole: true,
  why: '',
});

const tried = async (part: Mesh, where: ProofPlace, boxes: readonly Box[]) =>
  proofPiece(await openSolid(), part, where, { sizeMm: 0, boxes, holdsAll: true }, setting, uninterrupted);

async function pieceOf(part: Mesh, where: ProofPlace, boxes: readonly Box[]) {
  const made = await tried(part, where, boxes);
  if (!made.ok) throw new Error(made.error.message);
  const { watertight, bounds, signedVolume } = reportTopology(made.value.mesh, uninterrupted);
  expect(watertight).toBe(true);
  expect(signedVolume).toBeCloseTo(made.value.volumeMm3, 6);
  expect([bounds.min[2], bounds.min[0] + bounds.max[0], bounds.min[1] + bounds.max[1]]).toEqual([
    0,
    expect.closeTo(0, 3),
    expect.closeTo(0, 3),
  ]);
  return { ...made.value, bounds };
}

const valueIn = <T>(result: { ok: boolean; value?: T }): T => {
  expect(result.ok).toBe(true);
  return result.value!;
};

describe('a piece of a hollow box, 60 mm wide, wall 2 mm', () => {
  const outer = at(shapes.box(60), [0, 0, 30]);
  const cavity = at(shapes.box(56), [0, 0, 30]);

  test('the wall alone: a plate of its thickness', async () => {
    const piece = await pieceOf(hollow(outer, cavity), place([30, 0, 30]), [cube([30, 0, 30], 20)]);
    expect(piece.volumeMm3).toBeCloseTo(2 * 20 * 20, 2);
    expect(piece.figures).toMatchObject({ layers: 400, islands: [], stands: true });
    expect(piece.figures.standsMm2).toBeCloseTo(40, 1);
    expect(piece.others).toBe(0);
  });

  test('a vent through it: less its cylinder', async () => {
    const vent = cutterMesh({
      id: 'vents/0',
      kind: 'vent',
      mouth: [30, 3, 31],
      axis: [-1, 0, 0],
      radius: 4,
      depth: 4,
      outward: 0.2,
    });
    const ready = valueIn(makeReady(await openSolid(), outer, cavity, [vent], uninterrupted)).mesh;
    const piece = await pieceOf(ready, place([30, 3, 31], 8, 'opening'), [cube([30, 3, 31], 20)]);
    // The bore's polygon has the circle's area.
    expect(piece.volumeMm3).toBeCloseTo(2 * (20 * 20 - Math.PI * 16), 1);
  });

  test('an edge: two walls that share it', async () => {
    const piece = await pieceOf(hollow(outer, cavity), place([30, 30, 30]), [cube([25, 25, 30], 20)]);
    // From 15 to 30 in x and y, less the cavity up to 28.
    expect(piece.volumeMm3).toBeCloseTo(20 * (15 * 15 - 13 * 13), 2);
  });

  test('the ceiling with nothing under it in the box would lie on the plate', async () => {
    const made = await tried(hollow(outer, cavity), place([0, 0, 58], 3, 'ceiling'), [cube([0, 0, 58], 20)]);
    expect(made.ok ? '' : made.error.code).toBe('option-invalid');
    const wide = await pieceOf(hollow(outer, cavity), place([0, 0, 58], 3, 'ceiling'), [
      cube([0, 0, 58], 64),
    ]);
    // Walls from z = 26 to 58 and the ceiling.
    expect(wide.volumeMm3).toBeCloseTo(32 * (60 * 60 - 56 * 56) + 2 * 60 * 60, 1);
  });

  test('the box in the middle of the hollow holds nothing', async () => {
    const made = await tried(hollow(outer, cavity), place([0, 0, 30]), [cube([0, 0, 30], 20)]);
    expect(made.ok ? '' : made.error.code).toBe('place-outside');
  });
});

describe('a sphere shell of 20 and 18 mm', () => {
  const shell = hollow(at(shapes.icosphere(20, 5), [0, 0, 40]), at(shapes.icosphere(18, 5), [0, 0, 40]));
  const ball = (r: number): number => shapes.volumeOf(shapes.icosphere(r, 5));
  /** Of a ball, the part above the plane at height z over its middle: π/3·(r − z)²·(2r + z), times what the polyhedron is short of the sphere. */
  const cap = (r: number, z: number): number =>
    ((Math.PI / 3) * (r - z) ** 2 * (2 * r + z) * ball(r)) / ((4 / 3) * Math.PI * r ** 3);

  test('the whole of it: its void stays in it', async () => {
    const piece = await pieceOf(shell, place([20, 0, 40]), [cube([0, 0, 40], 50)]);
    expect(piece.volumeMm3).toBeCloseTo(ball(20) - ball(18), 1);
    expect(piece.others).toBe(0);
  });

  test('its upper cap stands on its cut face', async () => {
    const box: Box = { min: [-25, -25, 46], max: [25, 25, 96] };
    const piece = await pieceOf(shell, place([0, 0, 60]), [box]);
    const expected = cap(20, 6) - cap(18, 6);
    expect(Math.abs(piece.volumeMm3 / expected - 1)).toBeLessThan(2e-3);
    // The ring of the cut: 20² − 6² and 18² − 6².
    expect(piece.figures.standsMm2).toBeGreaterThan(0.97 * Math.PI * (400 - 324));
    expect(piece.figures.islands).toEqual([]);
  });

  test('of several lower cuts the first is taken by which it stands; from below it would start on a point', async () => {
    const boxes = [10, 20.05, 24, 30].map((z): Box => ({ min: [-25, -25, z], max: [25, 25, z + 50] }));
    const piece = await pieceOf(shell, place([20, 0, 40]), boxes);
    expect(piece.box.min[2]).toBe(24);
    expect(piece.figures.stands).toBe(true);
    const low = await pieceOf(shell, place([20, 0, 40]), boxes.slice(0, 2));
    expect(low.figures.stands).toBe(false);
  });
});

test('of loose bodies the one with the place is kept, and the others are told', async () => {
  const two = shapes.join(at(shapes.box([4, 20, 40]), [-6, 0, 20]), at(shapes.box([2, 20, 40]), [5, 0, 20]));
  const piece = await pieceOf(two, place([4, 0, 20]), [cube([0, 0, 20], 18)]);
  expect(piece.volumeMm3).toBeCloseTo(2 * 18 * 18, 3);
  expect(piece.others).toBe(1);
  expect(piece.othersMm3).toBeCloseTo(4 * 18 * 18, 3);
});

test('what starts in air in the piece is told', async () => {
  // A stem with an arm whose hand hangs down beside it.
  const parts = shapes.join(
    at(shapes.box([6, 6, 40]), [0, 0, 20]),
    at(shapes.box([20, 6, 6]), [8, 0, 36.5]),
    at(shapes.box([4, 6, 10]), [15, 0, 31]),
  );
  const hook = valueIn(uniteShells(await openSolid(), parts, uninterrupted));
  const piece = await pieceOf(hook, place([0, 0, 20]), [cube([5, 0, 25], 34)]);
  expect(piece.figures.islands).toHaveLength(1);
  expect(piece.figures.islands[0]!.at[2]).toBeCloseTo(26 - 8, 1);
});

test.each(Array.from({ length: 10 }, (_, n) => 5200 + n))(
  'random boxes of a hollow ring, seed %i',
  async (seed) => {
    const next = shapes.random(seed);
    const between = (low: number, high: number): number => low + (high - low) * next();
    const [outer, cavity] = [shapes.torus(20, 6, 120, 60), shapes.torus(20, 4.5, 120, 50)];
    const ring = shapes.transformed(hollow(outer, cavity), {
      turn: [between(0, 360), between(0, 360), 0],
      shift: [0, 0, 40],
    });
    const vertex = 3 * Math.floor(next() * (outer.positions.length / 3));
    const point = [0, 1, 2].map((axis) => ring.positions[vertex + axis]!) as unknown as Vec3;
    const { boxes } = valueIn(proofBoxes(place(point), between(6, 30), 0.05));
    const piece = await pieceOf(ring, place(point), boxes);
    const kernel = await openSolid();
    const { min, max } = piece.box;
    const solid = kernel.Manifold.ofMesh(
      new kernel.Mesh({ numProp: 3, vertProperties: ring.positions, triVerts: ring.triangles }),
    );
    const box = kernel.Manifold.cube(
      max.map((high, axis) => high - min[axis]!) as unknown as Vec3 as [number, number, number],
    ).translate([...min]);
    const shared = solid.intersect(box);
    // The reference: the kernel's boolean of the whole.
    expect(Math.abs((piece.volumeMm3 + piece.othersMm3) / shared.volume() - 1)).toBeLessThan(1e-5);
    for (const one of [solid, box, shared]) one.delete();
  },
);

test('the same bytes twice', async () => {
  const shell = hollow(at(shapes.icosphere(20, 5), [0, 0, 40]), at(shapes.icosphere(18, 5), [0, 0, 40]));
  const [a, b] = [
    await pieceOf(shell, place([20, 0, 40]), [cube([20, 0, 40], 17)]),
    await pieceOf(shell, place([20, 0, 40]), [cube([20, 0, 40], 17)]),
  ];
  expect(Buffer.from(a.mesh.positions.buffer).equals(Buffer.from(b.mesh.positions.buffer))).toBe(true);
  expect(a.mesh.triangles).toEqual(b.mesh.triangles);
});
