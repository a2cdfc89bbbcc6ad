import { describe, expect, it } from 'vitest';
import { boreSegments } from '../../../src/core/lights/boreSegments.ts';
import { CURVE_ERROR_MM, lightCurve, pointAlong } from '../../../src/core/lights/lightCurve.ts';
import { isSweepable, sweptTube } from '../../../src/core/lights/sweptTube.ts';
import { add, dot, norm, scale, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { volumeOf } from '../../shapes.ts';

/** Points of an arc about the z axis, every `stepDeg`. */
const arc = (radius: number, toDeg: number, stepDeg: number): Vec3[] =>
  Array.from({ length: Math.round(toDeg / stepDeg) + 1 }, (_, n) => {
    const angle = (n * stepDeg * Math.PI) / 180;
    return [radius * Math.cos(angle), radius * Math.sin(angle), 0];
  });

describe('the curve of a light', () => {
  it.each([
    [10, 15, 0.015],
    [25, 30, 0.05],
    [60, 20, 0.025],
  ])(
    'through points of an arc of %s mm every %s° bends to that radius, or a little more tightly',
    (radius, step, within) => {
      const curve = lightCurve(arc(radius, 180, step), 3)!;
      expect(curve.leastRadiusMm / radius).toBeGreaterThan(1 - within);
      expect(curve.leastRadiusMm / radius).toBeLessThan(1.001);
      for (const [x, y] of curve.points)
        expect(Math.abs(Math.hypot(x, y) - radius)).toBeLessThan(0.001 * radius);
      expect(curve.lengthMm / (Math.PI * radius)).toBeCloseTo(1, 3);
    },
  );
  it('of a helix bends to (a² + b²) / a', () => {
    const [a, b] = [12, 4];
    const helix = Array.from({ length: 40 }, (_, n): Vec3 => {
      const turn = n * 0.25;
      return [a * Math.cos(turn), a * Math.sin(turn), b * turn];
    });
    expect(Math.abs(lightCurve(helix, 2)!.leastRadiusMm / ((a * a + b * b) / a) - 1)).toBeLessThan(0.02);
  });
  it('is straight through points in a row, and a parabola through three', () => {
    const straight = lightCurve(
      [
        [0, 0, 0],
        [1, 2, 3],
        [4, 8, 12],
      ],
      2,
    )!;
    expect(straight.leastRadiusMm).toBe(Number.POSITIVE_INFINITY);
    expect(straight.lengthMm).toBeCloseTo(4 * Math.sqrt(14), 9);
    // y = x² between −1 and 1: the least radius is 1/2, at the vertex.
    const bent = lightCurve(
      [
        [-1, 1, 0],
        [0, 0, 0],
        [1, 1, 0],
      ],
      0.1,
    )!;
    expect(bent.leastRadiusMm).toBeCloseTo(0.5, 3);
    expect(norm(bent.leastRadiusAt)).toBeLessThan(0.03);
  });
  it('takes points told twice for one, and needs two', () => {
    expect(
      lightCurve(
        [
          [1, 1, 1],
          [1, 1, 1],
        ],
        1,
      ),
    ).toBeNull();
    expect(
      lightCurve(
        [
          [1, 1, 1],
          [1, 1, 1],
          [2, 1, 1],
        ],
        1,
      )!.lengthMm,
    ).toBeCloseTo(1, 9);
  });
  it('is cut so finely that the chain and its mitres keep within the error stated', () => {
    for (const reach of [1, 5, 12]) {
      const curve = lightCurve(arc(20, 180, 20), reach)!;
      const { points } = curve;
      for (let n = 1; n < points.length; n++) {
        const middle = scale(add(points[n - 1]!, points[n]!), 0.5);
        expect(20 - Math.hypot(middle[0], middle[1])).toBeLessThan(CURVE_ERROR_MM + 0.04);
      }
      for (let n = 1; n + 1 < points.length; n++) {
        const [a, b] = [subtract(points[n]!, points[n - 1]!), subtract(points[n + 1]!, points[n]!)];
        const half = Math.acos(Math.min(1, dot(a, b) / (norm(a) * norm(b)))) / 2;
        expect(reach * (1 / Math.cos(half) - 1)).toBeLessThan(CURVE_ERROR_MM);
      }
    }
  });
  it('finds places by the way along it', () => {
    const curve = lightCurve(
      [
        [0, 0, 0],
        [0, 0, 10],
      ],
      1,
    )!;
    expect(pointAlong(curve, 4)).toEqual([0, 0, 4]);
    expect(pointAlong(curve, 99)).toEqual([0, 0, 10]);
  });
});

describe('a tube along it', () => {
  const curve = lightCurve(arc(20, 180, 15), 3)!;
  it('is a closed body of a torus arc’s volume: π·r² times its length', () => {
    const tube = sweptTube(curve.points, 3);
    expect(isClosed(tube)).toBe(true);
    expect(volumeOf(tube) / (Math.PI * 9 * curve.lengthMm)).toBeCloseTo(1, 5);
    expect(volumeOf(tube) / (Math.PI * 9 * Math.PI * 20)).toBeCloseTo(1, 2);
  });
  it('has its wall at the radius from the arc, within the error', () => {
    const { positions } = sweptTube(curve.points, 3);
    for (let at = 0; at < positions.length; at += 3) {
      const away = Math.hypot(Math.hypot(positions[at]!, positions[at + 1]!) - 20, positions[at + 2]!);
      // The polygon's corners stand out by its share; the ends are flat.
      expect(Math.abs(away - 3)).toBeLessThan(0.06);
    }
  });
  it('is not made where it would run into itself', () => {
    expect(isSweepable(curve.points, 3)).toBe(true);
    expect(isSweepable(lightCurve(arc(2, 180, 15), 3)!.points, 3)).toBe(false);
  });
  it('as short cylinders covers every point within its radius and none beyond the error', () => {
    const bores = boreSegments(curve.points, 3, 'lights/x');
    const covers = (p: Vec3): boolean =>
      bores.some(({ mouth, axis, depth, outward, radius }) => {
        const way = subtract(p, mouth);
        const along = dot(way, axis);
        return along >= -outward && along <= depth && norm(subtract(way, scale(axis, along))) <= radius;
      });
    for (let n = 1; n < 60; n++) {
      const angle = (n * Math.PI) / 60;
      for (let turn = 0; turn < 8; turn++) {
        const at = (radius: number): Vec3 => {
          const out = 20 + radius * Math.cos((turn * Math.PI) / 4);
          return [out * Math.cos(angle), out * Math.sin(angle), radius * Math.sin((turn * Math.PI) / 4)];
        };
        expect(covers(at(3 - 0.05))).toBe(true);
        expect(covers(at(3 + 0.05))).toBe(false);
      }
    }
  });
});
