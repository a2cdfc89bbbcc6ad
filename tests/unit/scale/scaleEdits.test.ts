import { expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import type { KnownAs } from '../../../src/core/scale/knownLength.ts';
import { factorEdits, knownLengthEdits } from '../../../src/core/scale/scaleEdits.ts';
import type { Vec3 } from '../../../src/core/vector.ts';

const known: KnownAs = { kind: 'subject', mm: 1768 };
const between: readonly [Vec3, Vec3] = [
  [0, 0, 0],
  [0, 0, 130],
];
const put = (text: string): string | null => {
  const edits = knownLengthEdits(text, { source: 130, between, known });
  return edits === null ? null : applyEdits(text, edits);
};
const entry = '{ between: [[0, 0, 0], [0, 0, 130]], subject: 1768 }';

it.each([
  ['', `scale:\n  from: ${entry}\n`],
  [
    'scale: { finished: "1:4", factor: 3.4 }   # mine\n',
    `scale: { finished: "1:4", from: ${entry} }   # mine\n`,
  ],
  [
    'scale:\n  finished: "1:4"\n  factor: 3.4   # guess\n  # why\nkit: x\n',
    `scale:\n  finished: "1:4"\n  from: ${entry}   # guess\n  # why\nkit: x\n`,
  ],
  ['scale: { from: { source: 1, print: 3 } }\n', `scale: { from: ${entry} }\n`],
  ['scale:\n  from:\n    source: 1\n    print: 3\nkit: x\n', `scale:\n  from: ${entry}\nkit: x\n`],
  [
    'scale:\n  from:\n    - { source: 1, print: 3 }   # foot\n',
    `scale:\n  from:\n    - { source: 1, print: 3 }   # foot\n    - ${entry}\n`,
  ],
  ['scale: &all { from: { source: 1, print: 3 } }\nb: *all\n', null],
  ['scale: { from: [\n', null],
])('puts a length between two places into %j', (text, expected) => {
  const found = put(text);
  if (expected === null) expect(found).toBeNull();
  else expect(found?.replace(/ +$/gm, '')).toBe(expected);
});

it('puts a factor in the place of lengths', () => {
  const text = 'scale: { finished: "1:4", from: { source: 130, subject: 1768 } }  # so\n';
  expect(applyEdits(text, factorEdits(text, 4)!)).toBe('scale: { finished: "1:4", factor: 4 }  # so\n');
  expect(factorEdits('scale: { factor: 4 }\n', 4)).toEqual([]);
});
