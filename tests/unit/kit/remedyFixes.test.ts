import { expect, test } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import type { ReportedRemedy } from '../../../src/core/kit/finding.ts';
import { fixesFor } from '../../../src/core/kit/fixes.ts';
import { remedyFixes } from '../../../src/core/kit/remedyFixes.ts';

const text = `scale: { factor: 1 }
parts:
  torso:
    file: torso.stl
    vents:
      - { at: [1, 2, 3], diameter: 4, depth: 9 }   # behind
    wall: 2
`;
const remedy = (change: Partial<ReportedRemedy>): ReportedRemedy => ({
  kind: 'propose',
  opening: 'vents/0',
  value: null,
  at: null,
  at_source: null,
  turn: null,
  ...change,
});

test.each([
  [{ kind: 'diameter', value: 6.5 }, 'Make the vent 0 6.5 mm wide', 'diameter: 6.5, depth: 9 }   # behind'],
  [{ kind: 'depth', value: 4 }, 'Drill the vent 0 4 mm deep', 'diameter: 4, depth: 4 }   # behind'],
  [
    { kind: 'move', at_source: [1.00049, 2, 3] },
    'Move the vent 0 to the surface',
    'at: [1, 2, 3], diameter: 4',
  ],
  [{ kind: 'wall', value: 1.5 }, 'Give it a wall of 1.5 mm', '    wall: 1.5\n'],
  [
    { kind: 'wash', turn: [0, 45, 0] },
    'Set wash to [0, 45, 0]: held so, it runs empty',
    '    wash: [0, 45, 0]\n',
  ],
  [{ kind: 'solid' }, 'Print the part solid', '    wall: solid\n'],
  [{ kind: 'remove' }, 'Remove the vent 0', '    wall: 2\n'],
] as [Partial<ReportedRemedy>, string, string][])('%j', (change, title, expected) => {
  const [fix] = remedyFixes(text, 'torso', [remedy(change)]);
  expect([fix!.title, fix!.preferred]).toEqual([title, true]);
  const after = applyEdits(text, fix!.edits);
  expect(after).toContain(expected);
  if (change.kind === 'remove') expect(after).not.toContain('diameter');
});

test('the first remedy is the one most likely meant', () => {
  const fixes = remedyFixes(text, 'torso', [remedy({ kind: 'depth', value: 4 }), remedy({ kind: 'solid' })]);
  expect(fixes.map(({ preferred }) => preferred)).toEqual([true, false]);
});

test('what has to be looked for is asked of the engine; a place needs its opening', () => {
  const remedies = [
    remedy({ kind: 'find-place' }),
    remedy({ kind: 'find-wall' }),
    remedy({ kind: 'find-place', opening: null }),
  ];
  expect(remedyFixes(text, 'torso', remedies)).toEqual([
    {
      title: 'Move the vent 0 to the nearest good place…',
      edits: [],
      asks: { part: 'torso', ask: { kind: 'find-place', opening: 'vents/0' } },
      preferred: true,
    },
    {
      title: 'Find a wall that works…',
      edits: [],
      asks: { part: 'torso', ask: { kind: 'find-wall' } },
      preferred: false,
    },
  ]);
});

test('a proposal is a command of its own; what cannot be done is not offered', () => {
  const request = { code: 'sealed-cup' as const, offset: text.indexOf('torso'), part: 'torso' };
  const remedies = [remedy({}), remedy({ kind: 'diameter' }), remedy({ kind: 'move' })];
  const fixes = fixesFor(text, { ...request, remedies }, { files: [] });
  expect(fixes.map(({ title, asks, edits }) => [title, asks?.part, asks?.ask.kind, edits.length])).toEqual([
    ['Propose openings for torso', 'torso', 'propose-openings', 0],
  ]);
});
