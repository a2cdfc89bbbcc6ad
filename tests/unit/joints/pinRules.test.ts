import { describe, expect, it } from 'vitest';
import type { JointFacts } from '../../../src/core/joints/jointFacts.ts';
import type { JointLoad } from '../../../src/core/joints/jointLoads.ts';
import { pinStrength } from '../../../src/core/joints/pinStrength.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { soundFacts } from '../kit/soundFacts.ts';

const load: JointLoad = { beyond: ['head'], massG: 2000, at: [40, 0, 0], leverMm: 40, armMm: 40 };
const asIs = { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 0] as const };

/** Of 2 kg, 40 mm away; thrice that as it is handled, with a rod of stainless of 6.16 mm. */
function judged(joints: string, isFound = true) {
  const text = `kit: x\nscale: { factor: 1 }\nparts: { head: { file: a.stl }, torso: { file: b.stl } }\njoints: ${joints}\n`;
  const manifest = parseManifest(text).manifest!;
  const [decision] = manifest.joints;
  const spread = {
    areaMm2: 300,
    least: 0.2,
    q5: 0.2,
    q25: 0.2,
    median: 0.2,
    q75: 0.2,
    q95: 0.2,
    most: 0.2,
  };
  const still = { q5: 0, median: 0 };
  const found: JointFacts = {
    first: 'head',
    second: 'torso',
    joint: {
      gap: spread,
      slide: spread,
      plug: 'second',
      off: [0, 0, 1],
      caught: 0,
      regions: [{ areaMm2: 300, at: [0, 0, 0] }],
      overlap: null,
      nearest: [0, 0, 0],
      faces: new Float32Array(0),
    },
    fit: {
      known: still,
      tightest: still,
      loosest: still,
      byPose: still,
      bySpread: still,
      unmeasured: [],
    },
    toPrint: [asIs, asIs],
    load,
    decided: decision?.name ?? null,
    clearance: null,
    pin: decision?.pin ? { load, strength: pinStrength(load, decision.pin, 15), at: [1, 2, 3] } : null,
  };
  return kitRules({
    manifest,
    facts: new Map([
      ['head', soundFacts()],
      ['torso', soundFacts()],
    ]),
    plates: new Map(),
    joints: isFound ? [found] : [],
    swallowed: [],
    assembled: null,
  });
}

describe('a joint that is decided twice', () => {
  it('is told as that, not as parts that do not meet', () => {
    const twice =
      '{ neck: { parts: [head, torso], pin: stainless }, again: { parts: [torso, head], pin: brass } }';
    const told = judged(twice).filter(({ code }) => code === 'joint-unfound');
    expect(told).toMatchObject([{ path: ['joints', 'again'] }]);
    expect(told[0]!.message).toContain('is of the same two parts as neck');
  });
});

describe('a pin', () => {
  it.each<[string, string, string[]]>([
    [
      'whose size is left to be told is strong enough',
      '{ neck: { parts: [head, torso], pin: stainless } }',
      [],
    ],
    [
      'of 6.5 mm bears it',
      '{ neck: { parts: [torso, head], pin: { metal: stainless, diameter: 6.5 } } }',
      [],
    ],
    [
      'of 6 mm bends',
      '{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6 } } }',
      ['pin-weak'],
    ],
    [
      'of 6 mm of a better steel does not',
      '{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6, yield: 300 } } }',
      [],
    ],
    [
      'of 6 mm bears a figure that stands in a cabinet',
      '{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6, handling: 1 } } }',
      [],
    ],
    [
      'that reaches 10 mm presses too hard',
      '{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6.5, depth: 10 } } }',
      ['pin-weak'],
    ],
    [
      'that reaches 20 mm does not',
      '{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6.5, depth: 20 } } }',
      [],
    ],
  ])('%s', (_, joints, codes) => {
    expect(judged(joints).map(({ code }) => code)).toEqual(codes);
  });

  it('says what it takes, at its own key', () => {
    const [draft] = judged('{ neck: { parts: [head, torso], pin: { metal: stainless, diameter: 6 } } }');
    expect(draft).toMatchObject({
      path: ['joints', 'neck', 'pin'],
      part: 'torso',
      at: [1, 2, 3],
      measured: 6,
    });
    expect(draft!.limit).toBeCloseTo(4.272 * Math.cbrt(3), 2);
    expect(draft!.message).toContain('It takes 6.16 mm');
  });
});

describe('a decision about a joint', () => {
  it.each<[string, string, string]>([
    ['of parts that do not meet', '{ neck: { parts: [head, torso] } }', 'do not meet within 1 mm'],
    ['of a part that is none', '{ neck: { parts: [haed, torso] } }', 'Did you mean head?'],
    ['of one part', '{ neck: { parts: [head] } }', 'does not name two parts'],
    ['of a part with itself', '{ neck: { parts: [head, head] } }', 'does not name two parts'],
  ])('%s is told', (_, joints, words) => {
    const drafts = judged(joints, false);
    expect(drafts.map(({ code }) => code)).toEqual(['joint-unfound']);
    expect(drafts[0]!.message).toContain(words);
    expect(drafts[0]!.path).toEqual(['joints', 'neck']);
  });

  it('that lets a stranger give is told at that key', () => {
    const drafts = judged('{ neck: { parts: [head, torso], clearance: 0.2, give: cap } }');
    expect(drafts).toMatchObject([{ code: 'joint-unfound', path: ['joints', 'neck', 'give'] }]);
    expect(drafts[0]!.message).toContain('Write head or torso.');
  });

  it('needs no pin', () => {
    expect(judged('{ neck: { parts: [head, torso] } }')).toEqual([]);
  });
});
