import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { balanceFigure, type FigurePart } from '../../../src/core/joints/balanceFigure.ts';
import { footingOf } from '../../../src/core/joints/footing.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { dot, type Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';

const z: Vec3 = [0, 0, 1];

/** A solid of 1 g/ml. */
function part(name: string, mesh: Mesh, up = z): FigurePart {
  const { volume, centroid } = massProperties(mesh, uninterrupted);
  return {
    name,
    weight: { massG: volume / 1000, at: centroid },
    footing: footingOf(mesh, up, uninterrupted),
  };
}

const block = (size: Vec3, shift: Vec3): Mesh => shapes.transformed(shapes.box(size), { shift });
const degrees = (tangent: number): number => (Math.atan(tangent) * 180) / Math.PI;

describe('a figure put together', () => {
  const column = block([20, 30, 100], [0, 0, 50]);

  it('of one column falls when its middle leaves the nearer edge', () => {
    const figure = balanceFigure([part('column', column)], z)!;
    expect(figure.massG).toBeCloseTo(60, 4);
    expect(figure.heightMm).toBeCloseTo(50, 4);
    expect(figure.footingMm2).toBeCloseTo(600, 4);
    expect(figure.tipDeg).toBeCloseTo(degrees(10 / 50), 4);
    expect(Math.abs(figure.tipsToward[0])).toBeCloseTo(1, 6);
    expect(Math.abs(figure.tipsAt[0])).toBeCloseTo(10, 4);
  });

  it('has the mean of its parts’ centres by mass, and falls toward the heavy side', () => {
    // 60 × 60 × 10 mm is 36 g at z 5; an arm of 40 × 10 × 10 mm, 4 g, at x 25, z 60.
    const parts = [
      part('arm', block([40, 10, 10], [25, 0, 60])),
      part('base', block([60, 60, 10], [0, 0, 5])),
    ];
    const figure = balanceFigure(parts, z)!;
    const [x, height] = [(4 * 25) / 40, (36 * 5 + 4 * 60) / 40];
    expect(figure.massG).toBeCloseTo(40, 4);
    expect(figure.at[0]).toBeCloseTo(x, 4);
    expect(figure.heightMm).toBeCloseTo(height, 4);
    expect(figure.standsOn).toEqual(['base']);
    expect(figure.tipDeg).toBeCloseTo(degrees((30 - x) / height), 4);
    expect(figure.tipsToward[0]).toBeCloseTo(1, 6);
    expect(figure.tipsAt).toEqual([expect.closeTo(30, 4), expect.closeTo(0, 4), expect.closeTo(0, 4)]);
  });

  it('falls as it stands with its centre beyond the edge', () => {
    const parts = [
      part('foot', block([10, 10, 10], [0, 0, 5])),
      part('arm', block([60, 10, 10], [35, 0, 15])),
    ];
    const figure = balanceFigure(parts, z)!;
    const x = (6 * 35) / 7;
    const height = (5 + 6 * 15) / 7;
    expect(figure.tipDeg).toBeCloseTo(-degrees((x - 5) / height), 4);
    expect(figure.tipsToward[0]).toBeCloseTo(1, 6);
  });

  it('stands on all that touches the ground, a third of a millimetre counted as touching', () => {
    const foot = (x: number, low: number) => block([10, 10, 20], [x, 0, 10 + low]);
    const beam = part('beam', block([110, 10, 10], [0, 0, 25]));
    const level = balanceFigure([part('left', foot(-50, 0)), part('right', foot(50, 0.2)), beam], z)!;
    expect(level.standsOn).toEqual(['left', 'right']);
    expect(level.footingMm2).toBeCloseTo(1100, 4);
    const short = balanceFigure([part('left', foot(-50, 0)), part('right', foot(50, 0.5)), beam], z)!;
    expect(short.standsOn).toEqual(['left']);
    expect(short.tipDeg).toBeLessThan(0);
  });

  it('does not stand on a point', () => {
    const top = shapes.transformed(shapes.cone(20, 40, 64), { turn: [180, 0, 0], shift: [0, 0, 40] });
    // Nothing but the tip lies within a third of a millimetre of the ground.
    const { tipDeg, footingMm2 } = balanceFigure([part('top', top)], z)!;
    expect(footingMm2).toBe(0);
    expect(Math.abs(tipDeg)).toBeLessThan(1e-3);
  });

  it('is the same in any frame', () => {
    const turn = { turn: [25, 40, -70], shift: [11, -3, 8] } as const;
    const up = shapes.turned(z, turn.turn);
    const figure = balanceFigure([part('column', shapes.transformed(column, turn), up)], up)!;
    expect(figure.tipDeg).toBeCloseTo(degrees(10 / 50), 3);
    expect(figure.heightMm).toBeCloseTo(50, 3);
    expect(dot(figure.tipsToward, up)).toBeCloseTo(0, 5);
  });
});
