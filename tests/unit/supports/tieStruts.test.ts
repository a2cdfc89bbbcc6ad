import { describe, expect, test } from 'vitest';
import { eulerStrut } from '../../../src/core/physics/eulerStrut.ts';
import { barsOfPlan, barsVolume } from '../../../src/core/supports/supportBodies.ts';
import { stiffWidth, type TiedStrut, tieStruts } from '../../../src/core/supports/tieStruts.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { box, transformed } from '../../shapes.ts';
import { decision, planOf, setting } from './supported.ts';

const upright = (x: number, y: number, high: number, loadN: number): TiedStrut => ({
  line: [
    [x, y, high],
    [x, y, 0],
  ],
  stands: 'plate',
  loadN,
  leastMm: 1.5,
});
const anywhere = () => true;
const tied = (struts: readonly TiedStrut[], isFree: (from: Vec3, to: Vec3) => boolean = anywhere) =>
  tieStruts(struts, setting, 0, isFree);

describe('ties of struts', () => {
  // Struts of 40 mm, 10 mm apart: ties to and fro hold each every 20 mm.
  const limitN = eulerStrut(1.5e-3, 40e-3, setting.greenModulus * 1e6, 1) * 0.999;
  const corner = (loadN: number) => [
    upright(0, 0, 40, loadN),
    upright(10, 0, 40, loadN),
    upright(0, 10, 40, loadN),
  ];

  test('at its Euler limit a strut is just wide enough; tied at half its height it bears four times that', () => {
    expect(stiffWidth(40, limitN, setting)).toBe(1.5);
    expect(stiffWidth(40, 4 * limitN, setting)).toBeGreaterThan(2);
    const { freeMm, ties } = tied(corner(4 * limitN));
    expect(freeMm[0]).toBeCloseTo(20, 9);
    expect(stiffWidth(freeMm[0]!, 4 * limitN, setting)).toBe(1.5);
    expect(stiffWidth(freeMm[0]!, 4.1 * limitN, setting)).toBeGreaterThan(1.5);
    // From the feet up, each at 45°.
    expect(ties.length).toBeGreaterThanOrEqual(8);
    for (const { from, to } of ties) {
      expect(to[2] - from[2]).toBeCloseTo(Math.hypot(to[0] - from[0], to[1] - from[1]), 9);
    }
    expect(Math.min(...ties.map(({ from }) => from[2]))).toBe(0);
  });

  test('two struts give the same way, and so do three in a row: ties would hold nothing', () => {
    for (const struts of [
      corner(4 * limitN).slice(0, 2),
      [0, 10, 20].map((x) => upright(x, 0, 40, 4 * limitN)),
    ]) {
      expect(tied(struts)).toEqual({ freeMm: struts.map(() => 40), ties: [] });
    }
  });

  test('none where a strut is wide enough by itself, where the way is barred, or to what is far or slim', () => {
    const none = { freeMm: [40, 40, 40], ties: [] };
    expect(tied(corner(limitN))).toEqual(none);
    expect(tied(corner(4 * limitN), () => false)).toEqual(none);
    expect(tied(corner(4 * limitN).map((strut) => ({ ...strut, leastMm: 0.5 })))).toEqual(none);
    const far = [
      upright(0, 0, 40, 4 * limitN),
      upright(20, 0, 40, 4 * limitN),
      upright(0, 20, 40, 4 * limitN),
    ];
    expect(tied(far)).toEqual(none);
  });

  test('what bars the upper ties leaves the strut free above them', () => {
    const { freeMm } = tied(corner(4 * limitN), (_, to) => to[2] < 25);
    // Tied at 0 and 20 mm; from there to its tip.
    expect(freeMm[0]).toBeCloseTo(20, 9);
    const short = corner(4 * limitN).map((strut, n) =>
      n === 0 ? strut : upright(strut.line[0]![0], strut.line[0]![1], 8, limitN),
    );
    expect(tied(short).freeMm[0]).toBe(40);
  });

  test('a truss that would buckle as a whole holds nothing', () => {
    // Tied each 6 mm, 3 mm apart, 60 mm high: 3 · 6 is less than 1.5 · 60 / 2.
    const load = 4 * eulerStrut(1.5e-3, 60e-3, setting.greenModulus * 1e6, 1);
    const narrow = [upright(0, 0, 60, load), upright(3, 0, 60, load), upright(0, 3, 60, load)];
    expect(tied(narrow)).toEqual({ freeMm: [60, 60, 60], ties: [] });
  });

  test('under a block high above the plate struts are slimmer with ties than without, and take less resin', () => {
    const block = transformed(box([30, 30, 4]), { shift: [0, 0, 102] });
    const plan = planOf(block, { spacingMm: 7 }, 30);
    const alone = plan.supports.map(({ loadN, tipMm, strutMm }) => {
      const stiff = stiffWidth(98, loadN, setting);
      return { strutMm, aloneMm: Math.min(4, Math.max(setting.strutMm, tipMm, stiff)) };
    });
    const slimmer = alone.filter(({ strutMm, aloneMm }) => strutMm < aloneMm);
    expect(slimmer.length).toBeGreaterThan(10);
    expect(alone.every(({ strutMm, aloneMm }) => strutMm <= aloneMm)).toBe(true);
    for (const { loadN, strutMm, freeMm } of plan.supports) {
      expect(eulerStrut(1e-3 * strutMm, 1e-3 * freeMm, 800e6, 1)).toBeGreaterThanOrEqual(0.999 * loadN);
    }
    // Ties end on struts, under the part.
    for (const { from, to } of plan.ties) {
      for (const end of [from, to]) {
        const onStrut = plan.supports.some(
          ({ line }) => norm(subtract([end[0], end[1], 0], line.at(-1)!)) < 1e-9,
        );
        expect([onStrut, end[2] >= 1.2 && end[2] <= 98]).toEqual([true, true]);
      }
      expect(norm(subtract(to, from))).toBeLessThanOrEqual(14 * Math.SQRT2 + 1e-9);
    }
    const untied = plan.supports.map((support, n) => ({ ...support, strutMm: alone[n]!.aloneMm }));
    const volume = barsVolume(barsOfPlan(plan, decision));
    expect(volume).toBeLessThan(0.9 * barsVolume(barsOfPlan({ supports: untied, ties: [] }, decision)));
    expect(volume).toBeGreaterThan(barsVolume(barsOfPlan({ ...plan, ties: [] }, decision)));
  });
});
