import { describe, expect, test } from 'vitest';
import { tipStrength } from '../../../src/core/physics/tipStrength.ts';
import { footRadius, raftLip } from '../../../src/core/supports/foot.ts';
import { box, sphere } from '../../shapes.ts';
import { measureOne } from './measureOne.ts';

const slab = box([30, 20, 3]);
const codes = (findings: readonly { readonly code: string }[]): string[] => findings.map(({ code }) => code);
const coarse = 'machine: { layer: 0.1 }';

describe('supports of a part, from its decisions to its findings', () => {
  test('a slab in air: told until supports are planned, then held with nothing told', async () => {
    const bare = await measureOne(slab, 'raise: 6, wall: solid', coarse);
    expect([codes(bare.findings).includes('needs-supports'), bare.facts.supports]).toEqual([true, null]);
    const { facts, findings } = await measureOne(slab, 'raise: 6, wall: solid, supports: planned', coarse);
    expect(codes(findings)).not.toContain('needs-supports');
    expect(codes(findings)).not.toContain('hold-weak');
    const { supports } = facts;
    expect(supports!.supports.length).toBeGreaterThan(20);
    // 600 mm² at 10 kPa, and what it weighs: 1.8 ml of 1.18 g/ml; the tips share it.
    const pull = 6 + 1.8e-3 * 1.18 * 9.80665;
    const first = supports!.supports.reduce((sum, { loadN }) => sum + loadN, 0);
    expect(first / pull).toBeGreaterThan(0.99);
    expect(first / pull).toBeLessThan(1.1);
    expect(facts.loads.curedMm3).toBeCloseTo(bare.facts.loads.curedMm3 + supports!.volumeMm3, 6);
    expect(facts.loads.massG).toBe(bare.facts.loads.massG);
  }, 30_000);

  test('a plate that holds little: the feet grow, and are told where they may grow no more', async () => {
    const foot = (hold: string) =>
      measureOne(slab, `raise: 6, wall: solid, supports: { ${hold} }`, coarse).then(
        ({ facts, findings }) => ({
          volume: facts.supports!.volumeMm3,
          reserve: facts.supports!.worst!.reserve,
          weak: findings.find(({ code }) => code === 'hold-weak')?.measured ?? null,
        }),
      );
    const [usual, low, lowest] = [
      await foot('plate-hold: 100'),
      await foot('plate-hold: 5'),
      await foot('plate-hold: 0.2'),
    ];
    expect(low.volume).toBeGreaterThan(1.05 * usual.volume);
    // Growing feet hold just what they must: that is no weakness.
    expect([low.reserve, low.weak]).toEqual([usual.reserve, null]);
    expect(lowest.reserve).toBeLessThan(1);
    expect(lowest.weak).toBe(lowest.reserve);
  }, 30_000);

  test('a foot under a wide tip placed by hand stays on the plate with its raft', async () => {
    // Inside the margin the plate ends 3 mm beside the slab, and one wide tip bears all.
    const { facts } = await measureOne(
      box([30, 18, 3]),
      'raise: 30, wall: solid, supports: { widest-tip: 0.5, by-hand: [{ at: [0, 8, -1.5], tip: 8 }], keep-free: [{ at: [0, 0, 0], radius: 99 }] }',
      'machine: { layer: 0.1, plate: [60, 28], margin: 2 }',
    );
    const usual = { plateHold: 100, safety: 1, raft: 1.2, raftLean: 45 };
    const [own] = facts.supports!.supports.filter(({ contact }) => contact.byHand === 0);
    expect(own!.stands).toBe('plate');
    expect(own!.loadN).toBeGreaterThan(tipStrength(0.5e-3, 15e6));
    const reach = footRadius(own!.loadN, usual) + raftLip(usual);
    expect(Math.abs(own!.line.at(-1)![1]) + reach).toBeLessThanOrEqual(12);
  }, 30_000);

  test('no tip stands where an opening has taken the surface away', async () => {
    const drilled = await measureOne(
      slab,
      'raise: 6, wall: solid, supports: planned, vents: [{ at: [0, 0, -1.5], diameter: 12, depth: 2 }]',
      coarse,
    );
    const underneath = drilled.facts.supports!.supports.filter(({ contact }) => contact.at[2] < 6.5);
    expect(underneath.length).toBeGreaterThan(20);
    for (const { contact } of underneath) {
      expect(Math.hypot(contact.at[0], contact.at[1])).toBeGreaterThan(6 - 0.2);
    }
  }, 30_000);

  test('tips keep off a show side that lies beside what they can hold, and tell of one that they cannot', async () => {
    const outline = (low: number, high: number) =>
      `[[${low}, -10, -1.5], [${high}, -10, -1.5], [${high}, 10, -1.5], [${low}, 10, -1.5]]`;
    const shown = (low: number, high: number) =>
      measureOne(
        slab,
        `raise: 6, wall: solid, supports: planned, show: [{ outline: ${outline(low, high)}, facing: [0, 0, -1] }]`,
        coarse,
      );
    const half = await shown(3, 16);
    const marked = half.facts.supports!.supports.filter(({ contact }) => contact.onShow);
    expect(marked.length).toBeGreaterThan(3);
    for (const { contact } of marked) expect(contact.at[0]).toBeGreaterThan(2.9);
    expect(codes(half.findings)).toContain('tip-on-show-side');
    const strip = await shown(4, 5.5);
    expect(strip.facts.supports!.supports.filter(({ contact }) => contact.onShow)).toEqual([]);
    expect(codes(strip.findings)).not.toContain('tip-on-show-side');
  }, 30_000);

  test('a sealed ball asks for more tips than the same ball with its vent', async () => {
    const ball = sphere(12, 64);
    const keys = 'raise: 6, wall: 1.5, supports: planned';
    const sealed = await measureOne(ball, keys, coarse);
    const vented = await measureOne(
      ball,
      `${keys}, vents: [{ at: [0, 0, -12], diameter: 6 }, { at: [0, 0, 12], diameter: 6 }]`,
      coarse,
    );
    const all = ({ facts }: typeof sealed) =>
      facts.supports!.supports.reduce((sum, { tipMm }) => sum + tipMm ** 2, 0);
    expect(sealed.facts.loads.peakPullN).toBeGreaterThan(5 * vented.facts.loads.peakPullN);
    expect(all(sealed)).toBeGreaterThan(2 * all(vented));
  }, 30_000);

  test('supports and raft are out of the vat, too: it runs low earlier, or where the part alone would not', async () => {
    const check = (vat: number, supports: string) =>
      measureOne(
        slab,
        `raise: 20, wall: solid, supports: ${supports}`,
        `machine: { layer: 0.1, vat: ${vat} }`,
      );
    const [bare, held] = [await check(500, 'none'), await check(500, 'planned')];
    const ratio = 1.18 / 1.1;
    const taken = held.facts.loads.takenMm3.at(-1)! - bare.facts.loads.takenMm3.at(-1)!;
    expect(
      taken / (held.facts.supports!.volumeMm3 * (held.facts.loads.liquidMm3 / held.facts.loads.curedMm3)),
    ).toBeCloseTo(1, 2);
    expect(ratio).toBeGreaterThan(1);
    // Of the raft alone, where the part has not begun.
    expect([bare.facts.loads.takenMm3[12], held.facts.loads.takenMm3[12]! > 500]).toEqual([0, true]);
    // Spare is what lies over the least depth: the part fits into it, its supports do not.
    const spare = (bare.facts.loads.takenMm3.at(-1)! + 0.5 * taken) / 1000;
    const vat = spare / (1 - 3 / 15);
    const low = [await check(vat, 'none'), await check(vat, 'planned')].map(
      ({ facts }) => facts.loads.vatLowLayer,
    );
    expect(low).toEqual([null, expect.any(Number)]);
  }, 30_000);

  test('feet that enclose pockets get drip openings, and hold as before', async () => {
    const { facts, findings } = await measureOne(
      slab,
      'raise: 6, wall: solid, supports: { spacing: 7 }',
      coarse,
    );
    const opened = facts.supports!.supports.filter(({ trims }) => trims.length > 0);
    expect(opened.length).toBeGreaterThan(3);
    expect(codes(findings)).not.toContain('hold-weak');
    // Tips so near to each other that their feet leave nothing between them need none.
    const dense = await measureOne(slab, 'raise: 6, wall: solid, supports: { spacing: 3 }', coarse);
    expect(dense.facts.supports!.supports.every(({ trims }) => trims.length === 0)).toBe(true);
  }, 30_000);

  describe('a raft that would leave the plate', () => {
    // As long as the plate allows: 6 mm up a strut leans in by 2 mm at most, and a foot needs 8.5 mm beside it.
    const plank = box([100, 20, 3]);
    const check = (turn: number, plate: string) =>
      measureOne(
        plank,
        `raise: 6, wall: solid, turn: [0, 0, ${turn}], supports: planned`,
        `machine: { layer: 0.1, plate: ${plate}, margin: 2 }`,
      );
    const edge = footRadius(tipStrength(1.2e-3, 15e6), { plateHold: 100, safety: 1 }) + 1.2;

    test('what it cannot hold is told with the turn that brings it in, and gone once turned', async () => {
      const { facts, findings } = await check(0, '[104, 124]');
      const { outside } = facts.supports!;
      // The tips stand half a tip, 0.2 mm, within the rim, their feet right under them.
      expect(outside!.unheld).toBeGreaterThan(5);
      expect(Math.abs(outside!.beyondMm - (edge - 0.2))).toBeLessThan(0.1);
      expect(Math.abs(outside!.at[0])).toBeCloseTo(49.8, 1);
      expect(outside!.turnZ).toBe(90);
      const [told] = findings.filter(({ code }) => code === 'raft-outside');
      expect(told!.remedies).toEqual([{ kind: 'turn', turn: [0, 0, 90] }]);
      const turned = await check(90, '[104, 124]');
      expect(turned.facts.supports!.outside).toBeNull();
      expect(codes(turned.findings)).not.toContain('raft-outside');
      expect(turned.facts.supports!.supports.length).toBeGreaterThan(facts.supports!.supports.length);
    }, 30_000);

    test('where no turn does, it says what plate it needs: on that it holds', async () => {
      const { facts, findings } = await check(0, '[104, 60]');
      expect(facts.supports!.outside!.turnZ).toBeNull();
      const [told] = findings.filter(({ code }) => code === 'raft-outside');
      expect([told!.remedies, told!.message.includes('needs a plate of')]).toEqual([undefined, true]);
      const wide = facts.supports!.outside!.roomMm[0] + 4;
      expect(wide).toBeCloseTo(2 * (49.8 + edge + 2), 0);
      expect(codes((await check(0, `[${wide + 0.01}, 60]`)).findings)).not.toContain('raft-outside');
    }, 30_000);

    test('a support placed by hand there is told by both: it holds nothing, and why', async () => {
      const { findings } = await measureOne(
        plank,
        'raise: 6, wall: solid, supports: { by-hand: [{ at: [49, 0, -1.5] }], keep-free: [{ at: [0, 0, 0], radius: 99 }] }',
        'machine: { layer: 0.1, plate: [104, 60], margin: 2 }',
      );
      expect(codes(findings)).toEqual(expect.arrayContaining(['support-idle', 'raft-outside']));
    }, 30_000);
  });
});
