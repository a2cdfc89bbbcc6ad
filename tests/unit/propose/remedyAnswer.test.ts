import { describe, expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { OpeningDecision } from '../../../src/core/openings/opening.ts';
import { placeAnswer, type RemedyAnswer, wallAnswer } from '../../../src/core/propose/remedyAnswer.ts';

const text = `scale: { factor: 1 }
parts:
  torso:
    file: torso.stl
    wall: 3   # thick
    vents:
      - { at: [0, 0, 0], diameter: 6 }
      - { at: [1, 2, 3], diameter: 4, depth: 9, toward: [0, 1, 0], stopper: no }   # behind
`;
const { manifest } = parseManifest(text);
const part = manifest!.parts[0]!;
const made = ({ edits }: RemedyAnswer): string => applyEdits(text, edits!);
const vent = (more: Partial<OpeningDecision>): OpeningDecision => ({
  id: 'vents/1',
  kind: 'vent',
  at: [1, 2, 4.5],
  diameter: 4,
  ...more,
});

describe('a place', () => {
  it('changes where it is, and how it is drilled as far as that changes', () => {
    const kept = placeAnswer(text, part, 'vents/1', {
      decision: vent({ depth: 9, toward: [0, 1, 0] }),
      movedMm: 7.34,
    });
    expect(kept.said).toBe('Move the vent 1 to the nearest good place (7.34 mm away)');
    expect(made(kept)).toBe(text.replace('[1, 2, 3]', '[1, 2, 4.5]'));
    const straight = placeAnswer(text, part, 'vents/1', { decision: vent({}), movedMm: 1.5 });
    expect(straight.said).toContain('(1.5 mm away), drilled straight in and as deep as usual');
    expect(made(straight)).toContain('- { at: [1, 2, 4.5], diameter: 4, stopper: no }   # behind');
    const deep = placeAnswer(text, part, 'vents/1', {
      decision: vent({ at: [1, 2, 3], depth: 2.1 }),
      movedMm: 0,
    });
    expect(deep.said).toBe('Leave the vent 1 where it is, drilled straight in and 2.1 mm deep');
    expect(made(deep)).toContain('- { at: [1, 2, 3], diameter: 4, depth: 2.1, stopper: no }   # behind');
  });

  it('says so when there is none, and when the text does not let itself be edited', () => {
    const none = placeAnswer(text, part, 'vents/1', null);
    expect(none).toMatchObject({
      edits: null,
      said: expect.stringMatching(/^No place within 48 mm of the vent 1/),
    });
    const shared = text.replace(
      '- { at: [0, 0, 0], diameter: 6 }',
      '- &one { at: [0, 0, 0], diameter: 6 }\n      - *one',
    );
    const broken = placeAnswer(shared, parseManifest(shared).manifest!.parts[0]!, 'vents/1', {
      decision: vent({}),
      movedMm: 2,
    });
    expect(broken.edits).toBeNull();
    expect(broken.said).toContain('by hand');
  });
});

describe('a wall', () => {
  const { limits } = manifest!;
  it('is told with what becomes hollow, and is to be looked at first', () => {
    const found = { wallMm: 1.2, chambers: 2, hollowMm3: 12_300, hollowNowMm3: 0, solidMm3: 40_000 };
    const answer = wallAnswer(text, part, limits, found);
    expect(answer).toMatchObject({
      said: 'Give torso a wall of 1.2 mm: 12.3 ml of its 40 ml become hollow, in 2 chambers',
      large: true,
    });
    expect(made(answer)).toBe(text.replace('wall: 3 ', 'wall: 1.2 '));
    expect(wallAnswer(text, part, limits, { ...found, hollowNowMm3: 9000 }).said).toMatch(
      /; now 9 ml of it is$/,
    );
  });
  it('that is not there is told with the limits that leave none', () => {
    const { said, edits } = wallAnswer(text, part, limits, null);
    expect(edits).toBeNull();
    expect(said).toContain(
      'No wall between 0.7 mm (limits.least-wall and a little) and 3 mm leaves a hollow of 0.5 ml',
    );
  });
});
