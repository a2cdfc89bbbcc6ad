import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { HeldLoads } from '../../../src/core/supports/loadLog.ts';
import { sizeTips as sized } from '../../../src/core/supports/sizeTips.ts';
import type { SupportSetting } from '../../../src/core/supports/supportSetting.ts';
import { sizeTips as tipByTip } from '../../oracles/sizeTipsTipByTip.ts';
import { box, transformed } from '../../shapes.ts';
import { logOf, setting, table } from './supported.ts';

/** Tips evenly on a ring, under one body whose only layer is `areaMm2` about the middle of the ring. */
function ring(tips: number, areaMm2: number, x = 0): HeldLoads {
  const contacts = Array.from({ length: tips }, (_, n): HeldLoads['contacts'][number] => {
    const angle = (2 * Math.PI * n) / tips;
    return { at: [10 * Math.cos(angle), 10 * Math.sin(angle), 5], leastMm: 0.4 };
  });
  const holds = contacts.map(() => [0, 0] as const);
  return heldLoads(contacts, holds, [{ loads: [{ body: 0, areaMm2, x, y: 0 }] }]);
}

interface Step {
  readonly merges?: readonly number[];
  readonly loads: readonly {
    readonly body: number;
    readonly areaMm2: number;
    readonly x: number;
    readonly y: number;
  }[];
}

/** `holds`: the body of each contact, and the layer from which it holds. */
function heldLoads(
  contacts: HeldLoads['contacts'],
  holds: readonly (readonly [body: number, from: number])[],
  steps: readonly Step[],
  /** The body on which each stands; the plate when absent. */
  on: readonly number[] = contacts.map(() => -1),
): HeldLoads {
  const ends = (count: (step: Step) => number): Uint32Array => {
    const offsets = [0];
    for (const step of steps) offsets.push(offsets.at(-1)! + count(step));
    return Uint32Array.from(offsets);
  };
  const loads = steps.flatMap((step) => step.loads);
  return {
    contacts,
    on: Int32Array.from(on),
    body: Uint32Array.from(holds, ([body]) => body),
    from: Uint32Array.from(holds, ([, from]) => from),
    growth: {
      bodies: 1 + Math.max(...holds.map(([body]) => body)),
      layerHeight: 0.05,
      onPlate: false,
      mergeOffsets: ends(({ merges = [] }) => merges.length / 2),
      merges: Uint32Array.from(steps.flatMap(({ merges = [] }) => merges)),
      loadOffsets: ends((step) => step.loads.length),
      loadBody: Uint32Array.from(loads, ({ body }) => body),
      loads: Float64Array.from(loads.flatMap(({ areaMm2, x, y }) => [areaMm2, x, y])),
    },
  };
}
const weightless = { ...setting, density: 0 };
const none = new Float64Array(1);

const sizeTips = (log: HeldLoads, by: SupportSetting, suctionN: Float64Array) =>
  sized(log, by, suctionN, uninterrupted);

describe('sizeTips', () => {
  test('50 N at 25 MPa with a safety of 2: 32 tips of 0.4 mm hold, 31 do not (physics.md, tip tension)', () => {
    const tried = { ...weightless, greenStrength: 25, safety: 2, widestTipMm: 0.4 };
    // 5000 mm² at 10 kPa.
    expect(sizeTips(ring(32, 5000), tried, none).worst!.reserve).toBeGreaterThanOrEqual(1);
    expect(sizeTips(ring(31, 5000), tried, none).worst!.reserve).toBeLessThan(1);
    expect(sizeTips(ring(32, 5000), tried, none).loadN[3]).toBeCloseTo(50 / 32, 2);
  });

  test('one tip under the middle of its load is as wide as strength and pull ask', () => {
    const { widthMm, worst } = sizeTips(ring(1, 600, 10), weightless, none);
    const least = Math.sqrt((4 * 6) / (Math.PI * 15));
    expect(widthMm[0]).toBeGreaterThanOrEqual(least);
    expect(widthMm[0]).toBeLessThan(least + 0.07);
    expect(worst!.reserve).toBeGreaterThanOrEqual(1);
  });

  test('the same load beside it bends it: the width grows by 32·F·e/(π·d³)', () => {
    const { widthMm } = sizeTips(ring(1, 100, 10.5), weightless, none);
    const d = widthMm[0]!;
    const stress = (width: number) => 1 / ((Math.PI / 4) * width ** 2) + (32 * 0.5) / (Math.PI * width ** 3);
    expect(stress(d)).toBeLessThanOrEqual(15);
    expect(stress(d - 0.07)).toBeGreaterThan(15);
    // The force is what pulls; bending strains, but pulls no harder.
    expect(sizeTips(ring(1, 100, 10.5), weightless, none).loadN[0]).toBeCloseTo(1, 9);
  });

  test('a load off the middle of a ring takes more from the near tip than from the far one', () => {
    const { loadN } = sizeTips(ring(4, 400, 5), { ...weightless, widestTipMm: 0.4 }, none);
    // Quarter of 4 N, and half the lever of the ring: F/4·(1 + 2·5/10) and F/4·(1 − 2·5/10).
    expect(loadN[0]).toBeCloseTo(2, 1);
    expect(loadN[2]! / loadN[0]!).toBeLessThan(0.05);
  });

  test('bodies that have become one are held by the tips of both', () => {
    const at = (x: number): HeldLoads['contacts'][number] => ({ at: [x, 0, 5], leastMm: 0.4 });
    const one = (body: number, areaMm2: number, x: number) => ({ body, areaMm2, x, y: 0 });
    const contacts = [at(-10), at(10)];
    const holds = [
      [0, 0],
      [1, 0],
    ] as const;
    const log = heldLoads(contacts, holds, [
      { loads: [one(0, 10, -10), one(1, 10, 10)] },
      { merges: [0, 1], loads: [one(0, 400, 0)] },
      { loads: [one(0, 400, 5)] },
    ]);
    const { loadN, loadLayer } = sizeTips(log, { ...weightless, widestTipMm: 0.4 }, new Float64Array(3));
    // 4 N in the middle, then 4 N half way to the second: 2 and 2, then 1 and 3 by the lever.
    expect([loadN[0], loadN[1]].map((load) => Math.round(10 * load!) / 10)).toEqual([2, 3]);
    expect([...loadLayer]).toEqual([1, 2]);
    // Weight hangs where the bodies are: 400 mm² at the second tip, 10 mm² between them.
    const heavy = { ...setting, peel: 0, density: 1e5, widestTipMm: 0.4 };
    const lopsided = heldLoads(contacts, holds, [
      { loads: [one(0, 10, -10), one(1, 400, 10)] },
      { merges: [0, 1], loads: [one(0, 10, 0)] },
    ]);
    const { loadN: hung } = sizeTips(lopsided, heavy, new Float64Array(2));
    // mm³ at 100 kg a ml: the second tip's own share, and half of the beam.
    expect(hung[1]! / (0.1 * 9.80665 * 0.05 * (400 + 5))).toBeCloseTo(1, 1);
    expect(hung[0]!).toBeLessThan(0.1 * hung[1]!);
  });

  test('suction and weight pull too; suction is shared by area', () => {
    const plain = sizeTips(ring(4, 400), { ...weightless, widestTipMm: 0.4 }, none).loadN[0]!;
    const sucked = sizeTips(ring(4, 400), { ...weightless, widestTipMm: 0.4 }, Float64Array.of(8)).loadN[0]!;
    expect(sucked - plain).toBeCloseTo(2, 6);
    const heavy = sizeTips(ring(4, 400), { ...setting, density: 1e6, widestTipMm: 0.4 }, none).loadN[0]!;
    // 400 mm² × 0.05 mm of a thousand tonnes a litre: 20 mm³, 20 kg.
    expect(heavy - plain).toBeCloseTo((20 * 9.80665) / 4, 3);
  });

  test('the plate holds what is printed on it, by its first layer', () => {
    const chosen = logOf(transformed(box([10, 10, 4]), { shift: [0, 0, 2] }), { density: 0 });
    const standing = { ...chosen, on: new Int32Array(0) };
    const { worst } = sizeTips(standing, { ...setting, density: 0 }, new Float64Array(40));
    expect(worst).toMatchObject({ contact: null });
    // 10 kPa of peel against 100 kPa of hold on the same area.
    expect(worst!.reserve).toBeCloseTo(10, 0);
    const weak = sizeTips(standing, { ...setting, plateHold: 5 }, new Float64Array(40));
    expect(weak.worst!.reserve).toBeLessThan(0.55);
  });

  test('a tip that is as wide as it may be and still tears is told by its reserve and layer', () => {
    const { worst, widthMm, reserve } = sizeTips(ring(1, 1e5, 10), weightless, none);
    expect(widthMm[0]).toBe(setting.widestTipMm);
    const expected = (15 * (Math.PI / 4) * 1.2 ** 2) / 1000;
    expect(worst).toMatchObject({ layer: 0, contact: 0 });
    expect(worst!.reserve).toBeCloseTo(expected, 6);
    expect(reserve[0]).toBe(worst!.reserve);
  });

  test.each([0, 20, 200])(
    'with %i N of suction it comes to what looking at every tip in every layer comes to',
    (suction) => {
      for (const by of [
        setting,
        { ...setting, density: 40, widestTipMm: 0.8 },
        { ...setting, greenStrength: 400 },
      ]) {
        const chosen = logOf(table, by);
        const log = { ...chosen, on: new Int32Array(chosen.contacts.length).fill(-1) };
        const suctionN = Float64Array.from({ length: 300 }, (_, layer) => (suction * (layer % 50)) / 50);
        expect(sizeTips(log, by, suctionN)).toEqual(tipByTip(log, by, suctionN));
      }
    },
  );

  describe('a strut that stands on the part', () => {
    const at = (x: number): HeldLoads['contacts'][number] => ({ at: [x, 0, 5], leastMm: 0.4 });
    const load = (body: number, areaMm2: number, x: number) => ({ body, areaMm2, x, y: 0 });
    // Two tips hold body 0 from the plate; a third, at 5 mm, holds body 1 and stands on body 0.
    const contacts = [at(-10), at(10), at(5)];
    const holds = [
      [0, 0],
      [0, 0],
      [1, 1],
    ] as const;
    const narrow = { ...weightless, widestTipMm: 0.4 };
    const loadsOf = (steps: readonly Step[], on = 0) =>
      [
        ...sizeTips(heldLoads(contacts, holds, steps, [-1, -1, on]), narrow, new Float64Array(steps.length))
          .loadN,
      ].map((newtons) => Math.round(100 * newtons) / 100);

    test('passes what it bears on to what is below, by the lever, also where that is done', () => {
      // 4 N on body 1 alone: a quarter and three quarters of it.
      expect(loadsOf([{ loads: [load(0, 1, 0)] }, { loads: [load(1, 400, 5)] }])).toEqual([1, 3, 4]);
      // With 2 N in the middle of body 0 in the same layer.
      expect(loadsOf([{ loads: [load(0, 1, 0)] }, { loads: [load(0, 200, 0), load(1, 400, 5)] }])).toEqual([
        2, 4, 4,
      ]);
      // On the plate it keeps it to itself.
      const [left, right, own] = loadsOf([{ loads: [load(0, 1, 0)] }, { loads: [load(1, 400, 5)] }], -1);
      expect([left! < 0.02, right! < 0.02, own]).toEqual([true, true, 4]);
    });

    test('two bodies that stand on each other: what began first bears the other, and is not borne by it in turn', () => {
      const each = [at(-10), at(10), at(5), at(-5)];
      const on = [-1, -1, 0, 1];
      const own = [...holds, [0, 1] as const];
      const steps = [{ loads: [load(0, 1, 0)] }, { loads: [load(0, 200, 0), load(1, 400, 5)] }];
      const { loadN } = sizeTips(heldLoads(each, own, steps, on), narrow, new Float64Array(2));
      // Of 6 N in all, 2 in the middle of three tips and 4 at 5 mm; the fourth shares in them.
      expect(loadN[2]).toBeCloseTo(4, 2);
      expect(loadN[0]! + loadN[1]! + loadN[3]!).toBeCloseTo(6, 1);
    });

    test('holds nothing of the whole once both are one, and is as strong as if it did', () => {
      const steps = [
        { loads: [load(0, 1, 0)] },
        { loads: [load(1, 1, 5)] },
        { merges: [0, 1], loads: [load(0, 600, 0)] },
      ];
      const [left, right, inner] = loadsOf(steps);
      expect([left, right]).toEqual([3, 3]);
      // A third of it, by a section of three.
      expect(inner).toBeGreaterThan(1.5);
      const [, shared] = loadsOf(steps, -1);
      expect(shared).toBeLessThan(2.5);
    });
  });
});
