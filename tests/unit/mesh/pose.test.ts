import { describe, expect, it } from 'vitest';
import { type Pose, poseMesh } from '../../../src/core/mesh/pose.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, cone, join, meshOf, random, torus, transformed, turned, volumeOf } from '../../shapes.ts';

const figure = transformed(join(cone(5, 12), transformed(torus(4, 1), { shift: [3, 1, 14] })), {
  shift: [100, -40, 7],
});
const pose = (part: Partial<Pose> = {}): Pose => ({
  factor: 1,
  turn: [0, 0, 0],
  raise: 0,
  mirrored: false,
  ...part,
});

describe('poseMesh', () => {
  it('turns about plate x, then y, then z', () => {
    // A right-handed quarter turn about x takes y to z; then about z takes x to y.
    const posed = poseMesh(figure, pose({ turn: [90, 0, 90] }));
    expect(posed.directionToPrint([0, 1, 0])).toEqual([0, 0, 1]);
    expect(posed.directionToPrint([1, 0, 0])).toEqual([0, 1, 0]);
    const [x, y, z] = posed.directionToPrint([0.3, -0.5, 0.2]);
    const expected = turned([0.3, -0.5, 0.2], [90, 0, 90]);
    [x, y, z].forEach((value, i) => {
      expect(value).toBeCloseTo(expected[i]!, 14);
    });
  });

  it('centres, raises, scales and keeps the figure outward, mirrored or not', () => {
    const next = random(5);
    for (let i = 0; i < 40; i++) {
      const wanted = pose({
        factor: 0.2 + 5 * next(),
        turn: [360 * next() - 180, 360 * next() - 180, 360 * next() - 180],
        raise: 8 * next(),
        mirrored: i % 2 === 1,
      });
      const { mesh, bounds, toPrint, toSource } = poseMesh(figure, wanted);
      const why = `seed 5, case ${i}`;
      expect(bounds.min[0] + bounds.max[0], why).toBeCloseTo(0, 4);
      expect(bounds.min[1] + bounds.max[1], why).toBeCloseTo(0, 4);
      expect(bounds.min[2], why).toBeCloseTo(wanted.raise, 4);
      expect(volumeOf(mesh) / (volumeOf(figure) * wanted.factor ** 3), why).toBeCloseTo(1, 5);
      for (let v = 0; v < figure.positions.length; v += 300) {
        const source = [...figure.positions.subarray(v, v + 3)] as unknown as Vec3;
        const print = toPrint(source);
        for (let axis = 0; axis < 3; axis++) {
          expect(print[axis], why).toBeCloseTo(mesh.positions[v + axis]!, 4);
          expect(toSource(print)[axis], why).toBeCloseTo(source[axis]!, 9);
        }
      }
    }
  });

  it('mirrors the source x before the turn', () => {
    const posed = poseMesh(figure, pose({ turn: [0, 0, 90], mirrored: true }));
    expect(posed.directionToPrint([1, 0, 0])).toEqual([0, -1, 0]);
    expect(posed.directionToPrint([0, 1, 0])).toEqual([-1, 0, 0]);
  });

  it('keeps flat faces flat at quarter turns', () => {
    const { mesh } = poseMesh(box([3, 5, 7]), pose({ turn: [90, -180, 270], factor: 3 }));
    expect(new Set(mesh.positions).size).toBe(6);
    expect(mesh.positions.filter((_, i) => i % 3 === 2).filter((z) => z === 0)).toHaveLength(4);
  });

  it('leaves the source alone and takes an empty mesh', () => {
    const before = figure.positions.slice();
    poseMesh(figure, pose({ mirrored: true, factor: 2 }));
    expect(figure.positions).toEqual(before);
    expect(poseMesh(meshOf([], []), pose({ raise: 5 })).mesh.positions).toHaveLength(0);
  });
});
