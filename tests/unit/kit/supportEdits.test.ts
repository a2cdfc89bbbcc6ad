import { expect, test } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { type SupportGesture, supportEdits } from '../../../src/core/kit/supportEdits.ts';

const kit = (lines: string) => `# Lantern night
scale: { factor: 1 }
parts:
  lantern:
    file: parts/lantern.stl
${lines}    raise: 5   # clear of the raft
`;

function after(text: string, ...gestures: SupportGesture[]): string {
  const edits = supportEdits(text, 'lantern', gestures);
  expect(edits).not.toBeNull();
  return applyEdits(text, edits!);
}

const supportsOf = (text: string) => parseManifest(text).manifest!.parts[0]!.supports;
const place = (x: number, tip = 0.5): SupportGesture => ({ kind: 'place', at: [x, 0, 1], tip });

test('the word gives way to a list with a line for each, and comments stay', () => {
  const text = after(kit('    supports: planned   # its roof\n'), place(1), place(2), {
    kind: 'keep-free',
    at: [3, 0, 1],
    radius: 2,
  });
  expect(text).toContain('        - { at: [1, 0, 1], tip: 0.5 }\n        - { at: [2, 0, 1], tip: 0.5 }\n');
  expect(text).toContain('# its roof');
  expect(text).toContain('# clear of the raft');
  expect(supportsOf(text)).toMatchObject({
    byHand: [
      { index: 0, at: [1, 0, 1], tip: 0.5 },
      { index: 1, at: [2, 0, 1], tip: 0.5 },
    ],
    keepFree: [{ at: [3, 0, 1], radius: 2 }],
    spacing: 4,
  });
});

test('settings that stand there stay, in flow style too', () => {
  const text = after(kit('    supports: { spacing: 6 }\n'), place(1));
  expect(supportsOf(text)).toMatchObject({ spacing: 6, byHand: [{ at: [1, 0, 1] }] });
  expect(supportsOf(after(kit(''), place(1)))).toMatchObject({ byHand: [{ at: [1, 0, 1] }] });
});

test('one is moved and resized in its own entry, and taken out', () => {
  const text = after(kit('    supports: planned\n'), place(1), place(2));
  const changed = after(text, { kind: 'change', index: 1, at: [2.5, 0, 1], tip: 0.8 });
  expect(supportsOf(changed)!.byHand).toEqual([
    { index: 0, at: [1, 0, 1], tip: 0.5 },
    { index: 1, at: [2.5, 0, 1], tip: 0.8 },
  ]);
  const gone = after(changed, { kind: 'remove', index: 0 });
  expect(supportsOf(gone)!.byHand).toEqual([{ index: 0, at: [2.5, 0, 1], tip: 0.8 }]);
  // The last one leaves a part whose supports are planned.
  expect(supportsOf(after(gone, { kind: 'remove', index: 0 }))).toMatchObject({ byHand: [], spacing: 4 });
});

test('what cannot be edited by itself is left alone', () => {
  const shared = kit('    supports: &held { spacing: 6 }\n').replace(
    'parts:\n',
    'parts:\n  post: { supports: *held }\n',
  );
  expect(supportEdits(shared, 'lantern', [place(1)])).toBeNull();
  expect(supportEdits(kit('    supports: planned\n'), 'lantern', [{ kind: 'remove', index: 0 }])).toBeNull();
});
