import { describe, expect, it } from 'vitest';
import { type HalfRoom, heldHalf } from '../../../src/core/cut/heldHalf.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, join, sphere, transformed, volumeOf } from '../../shapes.ts';

const usual: HalfRoom = {
  room: [188, 116, 200],
  raiseMm: 0,
  supports: { raiseMm: 3.2, reachMm: 8.5, holdN: 0.1 },
  isPlanned: true,
  layerMm: 0.05,
  selfSupportDeg: 30,
  peel: 10,
};
const upright: Vec3 = [0, 0, 0];
const onItsSide: Vec3 = [90, 0, 0];
const lies = (mesh: Mesh, turns: readonly Vec3[], of: Partial<HalfRoom> = {}) =>
  heldHalf(mesh, volumeOf(mesh), turns, { ...usual, ...of });
/** A plate of 100 × 110 × 4 mm on a stem of 10 × 10 × 20 mm, 24 mm tall in all. */
const mushroom = join(
  transformed(box([100, 110, 4]), { shift: [0, 0, 12] }),
  transformed(box([10, 10, 20.02]), { shift: [0, 0, 0] }),
);

describe('a half as it lies, with its supports', () => {
  it('what lies flat stands by itself and needs no feet', () => {
    const slab = lies(box([180, 110, 20]), [upright]);
    expect(slab).toMatchObject({ raiseMm: 0, heldMm: [180, 110], fits: true, fitsHeld: true });
  });

  it('raised by the manifest, or round, it is held all over: feet round it and room under it', () => {
    expect(lies(box([180, 110, 20]), [upright], { raiseMm: 5 })).toMatchObject({
      raiseMm: 5,
      heldMm: [197, 127],
      fits: true,
      fitsHeld: false,
    });
    const ball = lies(sphere(50), [upright]);
    expect(ball.raiseMm).toBe(3.2);
    // What is flatter than 30° lies within 25 mm of the middle: feet do not reach beyond the ball.
    expect(ball.heldMm[0]).toBeCloseTo(100, 0);
    expect(lies(box([50, 50, 198]), [upright], { raiseMm: 1 }).fitsHeld).toBe(false);
  });

  it('a foot too small for the pull of its mean layer does not make it stand', () => {
    // 100 mm² hold 10 N; the mean layer pulls by 10 kPa on volume / height.
    const pullN = (0.01 * volumeOf(mushroom)) / 24;
    expect(pullN).toBeGreaterThan(10);
    expect(lies(mushroom, [upright]).raiseMm).toBe(3.2);
    const holdN = pullN / 100 + 1e-3;
    expect(lies(mushroom, [upright], { supports: { ...usual.supports, holdN } }).raiseMm).toBe(0);
  });

  it('takes the first turn with room for feet, before one in which only the half itself fits', () => {
    expect(lies(mushroom, [upright, onItsSide])).toMatchObject({ turn: onItsSide, fitsHeld: true });
    expect(lies(mushroom, [onItsSide, upright]).turn).toEqual(onItsSide);
    expect(lies(mushroom, [upright])).toMatchObject({ turn: upright, fits: true, fitsHeld: false });
    // Standing by itself it is left so where nobody plans supports.
    const standing = { supports: { ...usual.supports, holdN: 1 } };
    expect(lies(mushroom, [upright, onItsSide], standing).turn).toEqual(onItsSide);
    expect(lies(mushroom, [upright, onItsSide], { ...standing, isPlanned: false })).toMatchObject({
      turn: upright,
      raiseMm: 0,
      fitsHeld: false,
    });
    expect(lies(mushroom, [upright, onItsSide], { isPlanned: false }).turn).toEqual(onItsSide);
    const nowhere = lies(box([400, 400, 10]), [upright, onItsSide]);
    expect(nowhere).toMatchObject({ fits: false, fitsHeld: false });
  });
});
