import { describe, expect, it } from 'vitest';
import type { FitChange } from '../../../src/core/joints/fitChange.ts';
import type { Joint } from '../../../src/core/joints/joint.ts';
import type { JointFacts } from '../../../src/core/joints/jointFacts.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { soundFacts } from '../kit/soundFacts.ts';
import { asSculpted, even } from './bodies.ts';

const good: Joint = {
  gap: even(0.2),
  slide: even(0.2),
  plug: 'first',
  off: [0, 0, 1],
  caught: 0,
  regions: [{ areaMm2: 300, at: [1, 2, 3] }],
  overlap: null,
  nearest: [4, 5, 6],
  faces: new Float32Array(0),
};

/** The joint's frame is the print frame of the torso; the skirt stands 10 mm higher. */
const facts = (
  joint: Partial<Joint>,
  fit: Partial<FitChange>,
  clearance: JointFacts['clearance'] = null,
): JointFacts => ({
  first: 'torso',
  second: 'skirt',
  joint: { ...good, ...joint },
  fit: { ...asSculpted, ...fit },
  load: null,
  decided: null,
  pin: null,
  clearance,
  toPrint: [
    { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 0] },
    { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 10] },
  ],
});

const ofVolume = (name: string, volumeMm3: number) =>
  [name, { ...soundFacts(), mesh: { ...soundFacts().mesh, volumeMm3 } }] as const;

const judged = (
  joint: Partial<Joint>,
  limits = '{}',
  skirtMm3 = 9000,
  fit: Partial<FitChange> = {},
  clearance: JointFacts['clearance'] = null,
) => {
  const text = `kit: x\nscale: { factor: 1 }\nlimits: ${limits}\nparts: { torso: { file: a.stl }, skirt: { file: b.stl } }\n`;
  const manifest = parseManifest(text).manifest!;
  const measured = new Map([ofVolume('torso', 9000), ofVolume('skirt', skirtMm3)]);
  return kitRules({
    manifest,
    facts: measured,
    plates: new Map(),
    joints: [facts(joint, fit, clearance)],
    swallowed: [],
    assembled: null,
  });
};

const overlap = (depthMm: number) => ({ volumeMm3: 1500, depthMm, at: [7, 8, 9] as const });

describe('a joint', () => {
  it.each<[string, Partial<Joint>, string, string[]]>([
    ['of 0.2 mm fits', {}, '{}', []],
    ['of 0.09 mm binds', { slide: even(0.09) }, '{}', ['joint-tight']],
    [
      'binds when a twentieth of it does',
      { slide: { ...even(0.2), least: 0.01, q5: 0.05 } },
      '{}',
      ['joint-tight'],
    ],
    ['does not bind in one spot', { slide: { ...even(0.2), least: 0.01 } }, '{}', []],
    ['may touch where nothing slides', { slide: null, gap: even(0), plug: null }, '{}', []],
    ['may touch at the end of its key', { gap: { ...even(0.2), least: 0 } }, '{}', []],
    ['of 0.5 mm is loose', { slide: even(0.5), gap: even(0.5) }, '{}', ['joint-loose']],
    ['of faces 0.5 mm apart is loose', { slide: null, gap: even(0.5), plug: null }, '{}', ['joint-loose']],
    ['of a few square millimetres is no fit', { slide: null, gap: even(0.5, 9), plug: null }, '{}', []],
    ['that overlaps does not go together', { overlap: overlap(0.3) }, '{}', ['joint-clash']],
    ['may overlap by what a print forgives', { overlap: overlap(0.04) }, '{}', []],
    [
      'is told once, the worst first',
      { overlap: overlap(0.3), slide: even(-0.3), gap: even(0.6) },
      '{}',
      ['joint-clash'],
    ],
    [
      'is judged by the manifest’s own limits',
      { slide: even(0.2), overlap: overlap(0.3) },
      '{ joint-clash: 0.5, joint-tight: 0.25 }',
      ['joint-tight'],
    ],
    [
      'is loose by the manifest’s own limit',
      { slide: even(0.2), gap: even(0.2) },
      '{ joint-loose: 0.15 }',
      ['joint-loose'],
    ],
  ])('%s', (_, joint, limits, codes) => {
    expect(judged(joint, limits).map(({ code }) => code)).toEqual(codes);
  });

  it.each<[string, Partial<Joint>, number, string[]]>([
    ['that overlaps goes together', { overlap: overlap(0.3), slide: even(-0.3), gap: even(-0.3) }, 0.2, []],
    ['that binds fits', { slide: even(0.05), gap: even(0.05) }, 0.1, []],
    ['binds with one of 0.09 mm', { slide: even(0.05), gap: even(0.05) }, 0.09, ['joint-tight']],
    ['is loose with one of 0.5 mm', { slide: even(0.05), gap: even(0.05) }, 0.5, ['joint-loose']],
    ['that is loose stays so', { slide: even(0.5), gap: even(0.5) }, 0.2, ['joint-loose']],
  ])('with a clearance %s', (_, joint, mm, codes) => {
    const clearance = { mm, gives: 'skirt', keeps: 'torso', cutMm: mm };
    expect(judged(joint, '{}', 9000, {}, clearance).map(({ code }) => code)).toEqual(codes);
  });

  it('is told at the socket, where that part stands', () => {
    const [draft] = judged({ overlap: overlap(0.3) });
    expect(draft).toMatchObject({
      part: 'skirt',
      path: ['parts', 'skirt'],
      at: [7, 8, 19],
      measured: 0.3,
      limit: 0.05,
      unit: 'mm',
    });
    expect(draft!.message).toContain('torso in skirt');
    expect(draft!.message).toContain('0.3 mm deep');
    expect(draft!.message).toContain('1.5 ml');
  });

  it('is told at the first part where that is the socket, or at the second where none is', () => {
    expect(judged({ overlap: overlap(0.3), plug: 'second' })[0]).toMatchObject({
      part: 'torso',
      at: [7, 8, 9],
    });
    expect(judged({ overlap: overlap(0.3), plug: null })[0]).toMatchObject({ part: 'skirt' });
  });

  it('asks once whether the files stand together where parts lie in each other', () => {
    const text = 'kit: x\nscale: { factor: 1 }\nparts: { torso: { file: a.stl }, skirt: { file: b.stl } }\n';
    const pair = { first: 'torso', second: 'skirt' };
    const [draft, ...more] = kitRules({
      manifest: parseManifest(text).manifest!,
      facts: new Map(),
      plates: new Map(),
      joints: [],
      swallowed: [pair, pair],
      assembled: null,
    });
    expect(more).toEqual([]);
    expect(draft).toMatchObject({ code: 'joint-clash', part: 'skirt', path: ['parts', 'skirt'] });
    expect(draft!.message).toContain('torso and skirt, and 1 more pair likewise');
    expect(draft!.message).toContain('assembled: no');
  });
});

describe('a joint that comes out other than sculpted', () => {
  const both = (mm: number) => ({ q5: mm, median: mm });
  const of = (fit: Partial<FitChange>, joint: Partial<Joint> = {}) => judged(joint, '{}', 9000, fit);

  it('is judged as it is known to come out, and told why', () => {
    const [draft, ...more] = of({ known: both(-0.12), tightest: both(-0.12) });
    expect(more).toEqual([]);
    expect(draft).toMatchObject({ code: 'joint-tight', limit: 0.1 });
    expect(draft!.measured).toBeCloseTo(0.08, 9);
    expect(draft!.message).toContain('come out 0.08 mm apart or less, under 0.1 mm');
    expect(draft!.message).toContain('Sculpted are 0.2 mm; 0.12 mm go because stray light closes the socket');
    // Half its faces at 0.45 mm, closed to 0.39 mm: loose no more.
    const wide = { slide: even(0.45), gap: even(0.45) };
    expect(of({}, wide).map(({ code }) => code)).toEqual(['joint-loose']);
    expect(of({ known: both(-0.06) }, wide)).toEqual([]);
  });

  it('is not tight for what may be, but told once where that alone would bind it', () => {
    const open = { tightest: both(-0.12), byPose: both(-0.09), bySpread: both(-0.03), unmeasured: ['slate'] };
    const [draft, ...more] = of(open);
    expect(more).toEqual([]);
    expect(draft).toMatchObject({ code: 'joint-may-bind', part: 'skirt', limit: 0.1 });
    expect(draft!.measured).toBeCloseTo(0.08, 9);
    expect(draft!.message).toContain('0.08 mm instead of 0.2 mm');
    expect(draft!.message).toContain(
      '0.09 mm by pose, since the parts shrink along other axes, 0.03 mm by base',
    );
    expect(draft!.message).toContain('of slate');
    // What is calibrated, what still has room, and what is laid against are not told.
    expect(of({ ...open, unmeasured: [] })).toEqual([]);
    expect(of({ ...open, tightest: both(-0.09) })).toEqual([]);
    expect(of(open, { slide: null, gap: even(0), plug: null })).toEqual([]);
  });

  it('says beside a tight fit how much of it is not known', () => {
    const open = { tightest: both(-0.04), byPose: both(-0.04), unmeasured: ['slate'] };
    const [draft] = of(open, { slide: even(0.09) });
    expect(draft).toMatchObject({ code: 'joint-tight', measured: 0.09 });
    expect(draft!.message).toContain('Up to 0.04 mm more may go: 0.04 mm by pose');
  });
});
