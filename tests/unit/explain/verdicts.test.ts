import { describe, expect, it } from 'vitest';
import { changeEffects, changesAnything, effectOn } from '../../../src/core/explain/changeEffects.ts';
import { escapeMarkdown } from '../../../src/core/explain/escapeMarkdown.ts';
import { type LimitUse, limitUses } from '../../../src/core/explain/limitUses.ts';
import { type Decisions, triedChanges } from '../../../src/core/explain/triedChanges.ts';
import type { Verdict } from '../../../src/core/explain/verdict.ts';
import type { FindingDraft } from '../../../src/core/kit/finding.ts';
import { contextOf, soundFacts } from '../kit/soundFacts.ts';

const draft = (code: FindingDraft['code'], measured?: number, limit?: number): FindingDraft => ({
  code,
  part: 'torso',
  message: '',
  path: [],
  ...(measured !== undefined && { measured }),
  ...(limit !== undefined && { limit }),
  unit: 'mm',
});
const usesOf = (...drafts: FindingDraft[]) => limitUses(contextOf(soundFacts()), drafts);
const shares = (uses: readonly LimitUse[]) => uses.map(({ code, share }) => [code, Number(share.toFixed(3))]);

describe('limitUses', () => {
  it('takes the worst of each code; errors before warnings before what keeps within, notes last', () => {
    const uses = usesOf(
      draft('area-jump', 6, 2),
      draft('chamber-left-solid', 0.1, 0.5),
      draft('opening-through', 12, 8),
      draft('opening-through', 20, 8),
      draft('chamber-without-opening'),
    );
    // Of the sound facts: stretch 4 of 10 layers, pull 12 of 100 N, 0.1 of 5 ml, no layer sealed.
    expect(shares(uses)).toEqual([
      ['opening-through', 2.5],
      ['chamber-without-opening', 1],
      ['area-jump', 3],
      ['breathes-late', 0.4],
      ['pull-high', 0.12],
      ['resin-trapped', 0.02],
      ['sealed-cup', 0],
      ['chamber-left-solid', 5],
    ]);
  });

  it('counts a figure below its limit as far off as one above', () => {
    expect(shares(usesOf(draft('opening-near-wall', 2, 5)))[0]).toEqual(['opening-near-wall', 2.5]);
    expect(shares(usesOf(draft('opening-near-wall', 0, 5)))[0]).toEqual(['opening-near-wall', 1000]);
    // A limit of 0 is none that a figure could be so many times beyond.
    expect(shares(usesOf(draft('needs-supports', 3, 0)))[0]).toEqual(['needs-supports', 1]);
  });
});

const verdict = (share: number | null, more: Partial<Verdict> = {}): Verdict => ({
  uses:
    share === null
      ? []
      : [{ code: 'pull-high', severity: 'error', measured: 100 * share, limit: 100, unit: 'N', share }],
  errors: 1,
  warnings: 0,
  peakPullN: 50,
  peakSuctionN: 20,
  ...more,
});

describe('changeEffects', () => {
  const before = verdict(2);
  it('puts the strongest first, for better or worse; a limit that is cleared before all', () => {
    const effects = changeEffects(before, [
      { what: 'none', after: verdict(2) },
      { what: 'halves', after: verdict(1) },
      { what: 'triples', after: verdict(6) },
      { what: 'cleared', after: verdict(null) },
      { what: 'a hair', after: verdict(1.999) },
    ]);
    expect(effects.map(({ what }) => what)).toEqual(['cleared', 'triples', 'halves', 'none', 'a hair']);
    expect(effects.map((effect) => Math.sign(effectOn(before.uses[0], effect)))).toEqual([1, -1, 1, 0, 0]);
  });

  it('of equal ones prefers fewer errors, then fewer warnings, then the one that changes the pull more', () => {
    const cleared = (peakPullN: number) => verdict(null, { errors: 0, peakPullN });
    const effects = changeEffects(before, [
      { what: 'e', after: cleared(48) },
      { what: 'f', after: cleared(30) },
      { what: 'c', after: verdict(1, { errors: 2 }) },
      { what: 'b', after: verdict(1, { warnings: 3 }) },
      { what: 'a', after: verdict(1) },
    ]);
    expect(effects.map(({ what }) => what)).toEqual(['f', 'e', 'a', 'b', 'c']);
  });

  it.each<[string, Partial<Verdict>, boolean]>([
    ['nothing', {}, false],
    ['an error', { errors: 0 }, true],
    ['a warning', { warnings: 1 }, true],
    ['the pull', { peakPullN: 51 }, true],
    ['the suction', { peakSuctionN: 19 }, true],
    ['a hair of the pull', { peakPullN: 50.1 }, false],
  ])('sees whether %s is another', (_, more, changes) => {
    const [effect] = changeEffects(before, [{ what: '', after: verdict(2, more) }]);
    expect(changesAnything(before, effect!)).toBe(changes);
  });
});

const decisions: Decisions = {
  openings: [
    { id: 'vents/0', kind: 'vent', at: [0, 0, 0], diameter: 9 },
    { id: 'drains/0', kind: 'drain', at: [0, 0, 1], diameter: 5 },
  ],
  lift: { distance: 7, up: 60, down: 150, wait: 1, second: null },
  film: { peel: 10 },
  viscosity: 300,
  wall: 1.5,
  turn: [350, 0, 90],
};

describe('triedChanges', () => {
  it('changes one decision at a time and says which', () => {
    expect(triedChanges(decisions).map(({ what }) => what)).toEqual([
      'vent 0 of 13.5 mm instead of 9 mm',
      'drain 0 of 7.5 mm instead of 5 mm',
      'lift at 30 mm/min instead of 60',
      'resin of 150 mPa·s instead of 300, as when it is warmer',
      'a film that peels at 5 kPa instead of 10',
      'a film that peels at 20 kPa instead of 10',
      'a wall of 2 mm instead of 1.5',
      'turn [5, 0, 90] instead of [350, 0, 90]',
      'turn [350, 15, 90] instead of [350, 0, 90]',
    ]);
    for (const { decisions: changed } of triedChanges(decisions))
      expect(Object.keys(changed)).toHaveLength(1);
    const [vent] = triedChanges(decisions);
    expect(vent!.decisions.openings!.map(({ diameter }) => diameter)).toEqual([13.5, 5]);
  });

  it('slows down both stages of a lift', () => {
    const second = { distance: 3, up: 180, down: 200 };
    const change = triedChanges({ ...decisions, lift: { ...decisions.lift, second } })[2]!;
    expect(change.what).toBe('lift at 30 and 90 mm/min instead of 60 and 180');
    expect(change.decisions.lift).toEqual({ ...decisions.lift, up: 30, second: { ...second, up: 90 } });
  });

  it('leaves a solid part solid, and hollows anew only for what needs it', () => {
    const changes = triedChanges({ ...decisions, wall: null });
    expect(changes.some(({ what }) => what.includes('wall'))).toBe(false);
    expect(
      triedChanges(decisions)
        .filter(({ anew }) => anew)
        .map(({ decisions: d }) => Object.keys(d)[0]),
    ).toEqual(['wall', 'turn', 'turn']);
  });
});

describe('escapeMarkdown', () => {
  it.each([
    [
      'a_b *c* `d` [e](f) <g> & h|i ~j~ $k$ #l !m',
      'a\\_b \\*c\\* \\`d\\` \\[e\\](f) \\<g\\> \\& h\\|i \\~j\\~ \\$k\\$ \\#l \\!m',
    ],
    ['back\\slash', 'back\\\\slash'],
    ['two\r\nlines\u2028three\u0000', 'two lines three '],
    [
      'https://x.invalid www.x.invalid a@x.invalid',
      'https\\://x\\.invalid www\\.x\\.invalid a\\@x\\.invalid',
    ],
    ['plain 1.5 mm, (layer 3): 20 %', 'plain 1.5 mm, (layer 3): 20 %'],
  ])('%j', (text, escaped) => {
    expect(escapeMarkdown(text)).toBe(escaped);
  });
});
