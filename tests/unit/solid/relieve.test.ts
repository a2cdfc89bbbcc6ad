import type { ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, it } from 'vitest';
import { typescriptKernel } from '../../../src/core/field/typescriptKernel.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Joint } from '../../../src/core/joints/joint.ts';
import { measureJoint } from '../../../src/core/joints/measureJoint.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Result } from '../../../src/core/result.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { type Relieved, relieve } from '../../../src/solid/relieve.ts';
import * as shapes from '../../shapes.ts';
import { bodyOf, socket } from '../joints/bodies.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await openSolid();
});

const LEAST_WALL = 1.2;
/** As the README states it, mm. */
const ACCURACY = 0.02;

const relieved = (
  giver: Mesh,
  other: Mesh,
  clearanceMm: number,
  cavity: Mesh | null = null,
): Result<Relieved | null> => {
  const solid = cavity === null ? giver : shapes.join(giver, shapes.reversed(cavity));
  const parts = { solid, outer: giver, cavity };
  return relieve(kernel, parts, other, clearanceMm, LEAST_WALL, typescriptKernel, uninterrupted);
};

function made(giver: Mesh, other: Mesh, clearanceMm: number, cavity: Mesh | null = null): Relieved {
  const result = relieved(giver, other, clearanceMm, cavity);
  if (!result.ok) throw new Error(result.error.message);
  expect(result.value).not.toBeNull();
  expect(isClosed(result.value!.mesh)).toBe(true);
  expect(result.value!.notes).toEqual([]);
  const taken = shapes.volumeOf(giver) - (cavity === null ? 0 : shapes.volumeOf(cavity));
  expect(result.value!.takenMm3).toBeCloseTo(taken - shapes.volumeOf(result.value!.mesh), 2);
  return result.value!;
}

const jointOf = (a: Mesh, b: Mesh): Joint => measureJoint(bodyOf(a), bodyOf(b), 1, uninterrupted)!;

/** 6 mm square and 8 long, its end 5 mm under z = 0. */
const key = shapes.transformed(shapes.box([6, 6, 8]), { shift: [0, 0, -1] });

/** A key grown by r, below z = 0: sides, end and rounded edges (Steiner), mm³. */
const grownKey = (r: number): number =>
  5 * (36 + 24 * r + Math.PI * r * r) + 36 * r + 6 * Math.PI * r * r + (2 / 3) * Math.PI * r ** 3;

const turns: [string, Vec3][] = [
  ['along the axes', [0, 0, 0]],
  ['at an odd angle', [17, -31, 52]],
];

describe.each(turns)('a box key in a box socket %s', (_, turn) => {
  const placed = (mesh: Mesh): Mesh => shapes.transformed(mesh, { turn, shift: [3, -7, 11] });
  const keyMesh = placed(key);
  const bytes = keyMesh.positions.slice();

  it.each([
    ['0.05 mm of gap', 6.1, 5.05, 0.2],
    ['0.05 mm of gap, widely', 6.1, 5.05, 0.6],
    ['touching faces', 6, 5, 0.15],
    ['0.3 mm of overlap', 5.4, 4.7, 0.2],
  ])('with %s gets its clearance on all faces', (_name, wide, deep, clearance) => {
    const block = placed(socket(14, 10, wide, deep));
    const { mesh, takenMm3, gapMm, thinWallMm, loosePieces } = made(block, keyMesh, clearance);
    const { slide, gap, overlap } = jointOf(keyMesh, mesh);
    expect(overlap).toBeNull();
    expect(thinWallMm).toBeNull();
    expect(loosePieces).toBe(0);
    for (const figure of [gapMm, slide!.q5, slide!.median, slide!.q95, gap.least]) {
      expect(figure).toBeGreaterThan(clearance - ACCURACY);
      expect(figure).toBeLessThan(clearance + ACCURACY);
    }
    const exact = grownKey(clearance) - wide * wide * deep;
    expect(takenMm3 / exact).toBeGreaterThan(0.995);
    expect(takenMm3 / exact).toBeLessThan(1.005);
    expect(keyMesh.positions).toEqual(bytes);
  });

  it('that has its clearance is left as it is', () => {
    const block = placed(socket(14, 10, 6.4, 5.2));
    expect(relieved(block, keyMesh, 0.2)).toEqual({ ok: true, value: null });
  });

  it('may give from the key', () => {
    const block = placed(socket(14, 10, 6.1, 5.05));
    const { mesh } = made(keyMesh, block, 0.2);
    const { slide } = jointOf(mesh, block);
    expect(slide!.q5).toBeGreaterThan(0.19);
    expect(slide!.q95).toBeLessThan(0.21);
  });
});

describe('a clearance', () => {
  it('is cut round a ball in a ball socket', () => {
    const ball = shapes.icosphere(3, 4);
    const shell = shapes.join(shapes.icosphere(6, 4), shapes.reversed(shapes.icosphere(3.05, 4)));
    const { mesh, takenMm3, gapMm } = made(shell, ball, 0.2);
    expect(gapMm).toBeGreaterThan(0.18);
    expect(jointOf(ball, mesh).gap.q95).toBeLessThan(0.21);
    const exact = (4 / 3) * Math.PI * (3.2 ** 3 - 3.05 ** 3);
    expect(takenMm3 / exact).toBeGreaterThan(0.98);
    expect(takenMm3 / exact).toBeLessThan(1.02);
  });

  it('leaves what is away from it to the bit, and in its order', () => {
    const far = shapes.transformed(shapes.icosphere(6, 3), { shift: [0, 0, -30] });
    const block = shapes.join(far, socket(14, 10, 6.1, 5.05));
    const { mesh } = made(block, key, 0.2);
    expect(mesh.triangles.slice(0, far.triangles.length)).toEqual(far.triangles);
    const used = far.positions.length;
    expect(mesh.positions.slice(0, used)).toEqual(far.positions);
  });

  it('tells of what comes loose', () => {
    /** A slab right through a bar leaves two pieces of it. */
    const bar = shapes.box([12, 3, 3]);
    const slab = shapes.box([2, 8, 8]);
    const { takenMm3, loosePieces } = made(bar, slab, 0.5);
    expect(loosePieces).toBe(1);
    expect(takenMm3).toBeCloseTo(3 * 3 * 3, 1);
  });

  it('is told where it leaves a thin wall to the hollow, and refused where it would break in', () => {
    const block = socket(14, 10, 6.1, 5.05);
    /** Under the socket, `wall` mm below its floor. */
    const hollow = (wall: number): Mesh =>
      shapes.transformed(shapes.box([4, 4, 1]), { shift: [0, 0, -5.05 - wall - 0.5] });
    expect(made(block, key, 0.2, hollow(2)).thinWallMm).toBeNull();
    // 0.15 mm are taken off the floor.
    expect(made(block, key, 0.2, hollow(1)).thinWallMm).toBeCloseTo(0.85, 2);
    expect(relieved(block, key, 0.2, hollow(0.1))).toMatchObject({
      ok: false,
      error: { code: 'solid-failed' },
    });
  });
});
