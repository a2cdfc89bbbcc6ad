import { expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { openingEdits, openingRemoval } from '../../../src/core/kit/openingEdits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { lamplighter } from './lamplighter.ts';

const torso = (text: string) => parseManifest(text).manifest!.parts[0]!;
const vent = { id: 'vents/0', kind: 'vent', at: [12.1, -3, 8.4], diameter: 14 } as const;
const edited = (change: object): string =>
  applyEdits(lamplighter, openingEdits(lamplighter, torso(lamplighter), { ...vent, ...change })!);

it('a move changes the point alone, a new size the diameter alone, both together both', () => {
  const line = (at: string, diameter: string) =>
    lamplighter.replace('at: [12.1, -3.0, 8.4], diameter: 14', `at: ${at}, diameter: ${diameter}`);
  expect(edited({ at: [1, 2.25, -3] })).toBe(line('[1, 2.25, -3]', '14'));
  expect(edited({ diameter: 15 })).toBe(line('[12.1, -3.0, 8.4]', '15'));
  expect(edited({ diameter: 9.5 })).toBe(line('[12.1, -3.0, 8.4]', '9.5'));
  expect(edited({ at: [0, 0, 1], diameter: 3 })).toBe(line('[0, 0, 1]', '3'));
  expect(edited({})).toBe(lamplighter);
});

it('a new one goes to the end of its list, which is made where there is none', () => {
  expect(edited({ id: null, kind: 'drain', diameter: 6 })).toBe(
    lamplighter.replace('drains: []', 'drains: [{ at: [12.1, -3, 8.4], diameter: 6 }]'),
  );
  const bare = 'parts:\n  torso:\n    file: parts/torso.stl # mine\n';
  const edits = openingEdits(bare, torso(bare), { ...vent, id: null })!;
  expect(parseManifest(applyEdits(bare, edits)).manifest!.parts[0]!.openings).toEqual([vent]);
  expect(applyEdits(bare, edits)).toContain('# mine');
});

it('nothing is edited that is not there or cannot be edited alone', () => {
  const part = torso(lamplighter);
  expect(openingEdits(lamplighter, part, { ...vent, id: 'vents/7' })).toBeNull();
  const lines = lamplighter.replace('at: [12.1, -3.0, 8.4]', 'at: [12.1,\n           -3.0, 8.4]');
  expect(openingEdits(lines, torso(lines), { ...vent, at: [1, 1, 1] })).toBeNull();
  expect(openingRemoval(lamplighter, part, 'drains/3')).toBeNull();
  const without = applyEdits(lamplighter, openingRemoval(lamplighter, part, 'vents/0')!);
  expect(torso(without).openings).toEqual([]);
  expect(without).toContain('# by the belt');
});
