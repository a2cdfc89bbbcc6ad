import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { asDecided, type Choice, numbered } from '../../../src/core/propose/choice.ts';
import { proposalEdits } from '../../../src/core/propose/proposalEdits.ts';

const text = `kit: The Lamplighter
scale: { factor: 1 }
# as worn
parts:
  torso:
    file: torso.stl
    vents:
      - { at: [1, 2, 3], diameter: 4 }   # behind
      - { at: [4, 5, 6], diameter: 5, depth: 60, toward: [0, 0, 1] }
      - { at: [7, 8, 9], diameter: 6 }   # kept
    # nothing drains yet
    wall: 1.5
  head: { file: head.stl }
`;
const own = parseManifest(text).manifest!.parts[0]!.openings;
const added = (kind: 'vent' | 'drain', at: readonly [number, number, number]): Choice => ({
  decision: { id: '', kind, at, diameter: 3 },
  was: null,
  changes: [],
  place: 'here',
});

describe('a proposal as an edit of the manifest', () => {
  test('one edit: an opening changed, one left out, two added; comments and other lines stay', () => {
    const [first, second, third] = own.map(asDecided) as [Choice, Choice, Choice];
    const { toward, depth, ...bare } = second.decision;
    const choices = numbered([
      { ...second, decision: { ...bare, diameter: 8 } },
      third,
      added('vent', [0.5, 0, 0]),
      added('drain', [0, 0, 9]),
    ]);
    const edits = proposalEdits(text, 'torso', own, choices)!;
    expect(edits).toHaveLength(1);
    const after = applyEdits(text, edits);
    const { manifest, findings } = parseManifest(after);
    expect(findings).toEqual([]);
    expect(manifest!.parts[0]!.openings).toEqual([
      { id: 'vents/0', kind: 'vent', at: [4, 5, 6], diameter: 8 },
      { id: 'vents/1', kind: 'vent', at: [7, 8, 9], diameter: 6 },
      { id: 'vents/2', kind: 'vent', at: [0.5, 0, 0], diameter: 3 },
      { id: 'drains/0', kind: 'drain', at: [0, 0, 9], diameter: 3 },
    ]);
    for (const line of ['# as worn', '# kept', '# nothing drains yet', '  head: { file: head.stl }']) {
      expect(after).toContain(line);
    }
    expect(first.was).toBe('vents/0');
    expect([toward, depth]).toEqual([[0, 0, 1], 60]);
  });

  test('of two that are left out of one list neither takes the third one with it', () => {
    const edits = proposalEdits(text, 'torso', own, numbered([asDecided(own[2]!)]))!;
    const left = parseManifest(applyEdits(text, edits)).manifest!.parts[0]!.openings;
    expect(left).toEqual([{ id: 'vents/0', kind: 'vent', at: [7, 8, 9], diameter: 6 }]);
  });

  test('nothing to change is no edit', () => {
    expect(proposalEdits(text, 'torso', own, own.map(asDecided))).toEqual([]);
  });

  test('a part without openings gets its lists', () => {
    const edits = proposalEdits(text, 'head', [], numbered([added('drain', [0, 0, 1])]))!;
    const after = parseManifest(applyEdits(text, edits)).manifest!;
    expect(after.parts[1]!.openings).toEqual([{ id: 'drains/0', kind: 'drain', at: [0, 0, 1], diameter: 3 }]);
  });

  test('a list that an anchor shares is left alone', () => {
    const shared = text
      .replace('    vents:\n', '    vents: &holes\n')
      .replace('head: { file: head.stl }', 'head: { file: head.stl, vents: *holes }');
    const openings = parseManifest(shared).manifest!.parts[1]!.openings;
    expect(openings).toHaveLength(3);
    expect(
      proposalEdits(
        shared,
        'head',
        openings,
        numbered([...openings.map(asDecided), added('vent', [0, 0, 0])]),
      ),
    ).toBeNull();
  });
});
