import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  shiftRange,
  type TextChange,
  type TextPosition,
  type TextRange,
} from '../../../src/host/textShift.ts';

const at = (line: number, character: number): TextPosition => ({ line, character });
const range = (...[l1, c1, l2, c2]: [number, number, number, number]): TextRange => ({
  start: at(l1, c1),
  end: at(l2, c2),
});
const change = (where: TextRange, text: string): TextChange => ({ range: where, text });

describe('shiftRange', () => {
  const value = range(4, 10, 4, 14);

  it('leaves what stands before the change', () => {
    expect(shiftRange(value, change(range(4, 15, 4, 15), 'x'))).toEqual(value);
    expect(shiftRange(value, change(range(5, 0, 9, 0), ''))).toEqual(value);
  });

  it('moves with inserted and deleted lines', () => {
    expect(shiftRange(value, change(range(2, 0, 2, 0), 'a\nb\n'))).toEqual(range(6, 10, 6, 14));
    expect(shiftRange(value, change(range(1, 3, 3, 2), ''))).toEqual(range(2, 10, 2, 14));
    expect(shiftRange(value, change(range(3, 5, 4, 2), ''))).toEqual(range(3, 13, 3, 17));
  });

  it('moves along its own line', () => {
    expect(shiftRange(value, change(range(4, 2, 4, 4), 'longer'))).toEqual(range(4, 14, 4, 18));
  });

  it('ends where its text was edited', () => {
    expect(shiftRange(value, change(range(4, 12, 4, 13), '7'))).toBeNull();
    expect(shiftRange(value, change(range(4, 14, 4, 14), '0'))).toBeNull();
    expect(shiftRange(value, change(range(4, 10, 4, 10), '1'))).toBeNull();
    expect(shiftRange(value, change(range(3, 0, 5, 0), ''))).toBeNull();
  });

  it('still covers the same text after any change that does not touch it', () => {
    const line = fc.stringMatching(/^[ab]{0,6}$/);
    const text = fc.array(line, { minLength: 1, maxLength: 6 }).map((lines) => lines.join('\n'));
    fc.assert(
      fc.property(text, text, fc.nat(), fc.nat(), fc.nat(), fc.nat(), (whole, inserted, a, b, c, d) => {
        const [start, end] = ordered(a % (whole.length + 1), b % (whole.length + 1));
        const [from, to] = ordered(c % (whole.length + 1), d % (whole.length + 1));
        const placed = { start: positionOf(whole, start), end: positionOf(whole, end) };
        const edit = change({ start: positionOf(whole, from), end: positionOf(whole, to) }, inserted);
        const moved = shiftRange(placed, edit);
        if (moved === null) return;
        const after = whole.slice(0, from) + inserted + whole.slice(to);
        const piece = after.slice(offsetOf(after, moved.start), offsetOf(after, moved.end));
        expect(piece).toBe(whole.slice(start, end));
      }),
      { numRuns: 3000 },
    );
  });
});

function ordered(a: number, b: number): [number, number] {
  return a < b ? [a, b] : [b, a];
}

function positionOf(text: string, offset: number): TextPosition {
  const lines = text.slice(0, offset).split('\n');
  return at(lines.length - 1, lines[lines.length - 1]!.length);
}

function offsetOf(text: string, { line, character }: TextPosition): number {
  const before = text.split('\n').slice(0, line);
  return before.reduce((sum, one) => sum + one.length + 1, 0) + character;
}
