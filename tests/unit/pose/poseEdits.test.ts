import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { poseEdits } from '../../../src/core/pose/poseEdits.ts';

const pose = { turn: [50, 27, 0] as const, raise_mm: 3.2 };

function written(part: string): string | null {
  const text = `kit: The Lamplighter\nscale: { factor: 1 }\nparts:\n  lantern: ${part}\n`;
  const edits = poseEdits(text, parseManifest(text).manifest!.parts[0]!, pose);
  if (edits === null) return null;
  expect(edits.length).toBeLessThan(2);
  return applyEdits(text, edits).split('  lantern: ')[1]!.trimEnd();
}

describe('poseEdits', () => {
  test('planned supports bring their raise along, in the same edit', () => {
    expect(written('{ file: a.stl, supports: planned }')).toBe(
      '{ file: a.stl, supports: planned, turn: [50, 27, 0], raise: 3.2 }',
    );
    expect(written('{ file: a.stl, turn: [0, 0, 0], raise: 1, supports: planned }')).toBe(
      '{ file: a.stl, turn: [50, 27, 0], raise: 3.2, supports: planned }',
    );
  });

  test('a raise that is enough, and one without planned supports, stays', () => {
    expect(written('{ file: a.stl, raise: 6, supports: planned }')).toBe(
      '{ file: a.stl, raise: 6, supports: planned, turn: [50, 27, 0] }',
    );
    expect(written('{ file: a.stl, raise: 0 }')).toBe('{ file: a.stl, raise: 0, turn: [50, 27, 0] }');
  });

  test('nothing where all stands there, and null where the text does not allow it', () => {
    expect(written('{ file: a.stl, turn: [50, 27, 0] }')).toBe('{ file: a.stl, turn: [50, 27, 0] }');
    const text =
      'kit: a\nscale: { factor: 1 }\nparts:\n  lantern: { file: a.stl, turn: &same [0, 0, 0], wash: *same }\n';
    expect(poseEdits(text, parseManifest(text).manifest!.parts[0]!, pose)).toBeNull();
  });
});
