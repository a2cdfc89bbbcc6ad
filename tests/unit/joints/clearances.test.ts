import { describe, expect, it } from 'vitest';
import type { Joint } from '../../../src/core/joints/joint.ts';
import { jointClearance } from '../../../src/core/joints/jointClearance.ts';
import type { FoundJoint, JointFacts } from '../../../src/core/joints/jointFacts.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { soundFacts } from '../kit/soundFacts.ts';
import { asSculpted, even } from './bodies.ts';

/** The torso stands 10 mm higher in print than in its sculpt. */
const found = (mm: number, plug: Joint['plug'] = 'second'): FoundJoint => ({
  first: 'torso',
  second: 'head',
  joint: {
    gap: even(mm),
    slide: even(mm),
    plug,
    off: [0, 0, 1],
    caught: 0,
    regions: [{ areaMm2: 300, at: [1, 2, 3] }],
    overlap: null,
    nearest: [4, 5, 6],
    faces: new Float32Array(0),
  },
  toPrint: [
    { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 10] },
    { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 0] },
  ],
});

function manifestOf(neck: string) {
  const text = `kit: x\nscale: { factor: 1 }\nparts: { torso: { file: a.stl }, head: { file: b.stl } }\njoints: { neck: ${neck} }\n`;
  return parseManifest(text);
}

const made = (neck: string, facts: FoundJoint) =>
  jointClearance(facts, manifestOf(neck).manifest!.joints[0]!);

describe('what gives for a clearance', () => {
  it.each<[string, string, Joint['plug'], string | null]>([
    ['is the socket', '{ parts: [head, torso], clearance: 0.2 }', 'second', 'torso'],
    ['is the socket, whichever part that is', '{ parts: [head, torso], clearance: 0.2 }', 'first', 'head'],
    ['is the second part named where none is', '{ parts: [torso, head], clearance: 0.2 }', null, 'head'],
    ['is what is named', '{ parts: [torso, head], clearance: 0.2, give: head }', 'second', 'head'],
    [
      'is nothing where a stranger is named',
      '{ parts: [torso, head], clearance: 0.2, give: cap }',
      null,
      null,
    ],
    ['is nothing without one', '{ parts: [torso, head], give: head }', 'second', null],
  ])('%s', (_, neck, plug, gives) => {
    expect(made(neck, found(0.05, plug))?.gives ?? null).toBe(gives);
  });

  it('is cut by what is missing, and not where nothing is', () => {
    const neck = '{ parts: [head, torso], clearance: 0.2 }';
    expect(made(neck, found(0.05))!.cutMm).toBeCloseTo(0.15, 9);
    expect(made(neck, found(-0.3))!.cutMm).toBeCloseTo(0.5, 9);
    expect(made(neck, found(0.2))!.cutMm).toBe(0);
  });

  it('is an assumption where it is not said', () => {
    const told = (neck: string): boolean =>
      manifestOf(neck).manifest!.assumptions.some(({ key }) => key === 'joints.neck.give');
    expect(told('{ parts: [head, torso], clearance: 0.2 }')).toBe(true);
    expect(told('{ parts: [head, torso], clearance: 0.2, give: head }')).toBe(false);
    expect(told('{ parts: [head, torso] }')).toBe(false);
  });
});

describe('the wall behind a clearance', () => {
  /** A torso with this wall and a chamber, whose joint is cut so deep. */
  function judged(wallMm: number | null, neck: string, gapMm: number) {
    const { manifest } = manifestOf(neck);
    const facts = found(gapMm);
    const clearance = made(neck, facts);
    const chamber = { volumeMm3: 900, centroid: [0, 0, 0], bottom: 1, top: 9 } as const;
    const hollow = { ...soundFacts().hollow, wallMm, chambers: wallMm === null ? [] : [chamber] };
    const joint: JointFacts = {
      ...facts,
      fit: asSculpted,
      load: null,
      decided: 'neck',
      pin: null,
      clearance,
    };
    return kitRules({
      manifest: manifest!,
      facts: new Map([
        ['torso', { ...soundFacts(), hollow }],
        ['head', soundFacts()],
      ]),
      plates: new Map(),
      joints: [joint],
      swallowed: [],
      assembled: null,
    });
  }

  const neck = '{ parts: [head, torso], clearance: 0.2 }';

  it.each<[string, number | null, string, number, string[]]>([
    ['of 1.5 mm bears 0.15 mm', 1.5, neck, 0.05, []],
    ['of 0.7 mm does not', 0.7, neck, 0.05, ['clearance-thins-wall']],
    ['of 1.5 mm does not bear 1.4 mm', 1.5, neck, -1.2, ['clearance-thins-wall']],
    ['of nothing cut is as it was', 0.5, neck, 0.2, []],
    ['of a solid part is none', null, neck, -1.2, []],
    ['of the part that keeps its shape is as it was', 0.5, neck.replace('0.2', '0.2, give: head'), 0.05, []],
  ])('%s', (_, wallMm, decided, gapMm, codes) => {
    expect(judged(wallMm, decided, gapMm).map(({ code }) => code)).toEqual(codes);
  });

  it('is told with what is left, where the cut is deepest', () => {
    const [draft] = judged(0.7, neck, 0.05);
    expect(draft).toMatchObject({
      part: 'torso',
      path: ['joints', 'neck', 'clearance'],
      at: [4, 5, 16],
      limit: 0.6,
      unit: 'mm',
    });
    expect(draft!.measured).toBeCloseTo(0.55, 9);
    expect(draft!.message).toContain('leaves 0.55 mm, less than 0.6 mm');
    expect(judged(1.5, neck, -1.4)[0]).toMatchObject({ measured: 0 });
    expect(judged(1.5, neck, -1.4)[0]!.message).toContain('it breaks in, and make-ready refuses the part');
  });
});
