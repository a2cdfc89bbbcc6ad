import { describe, expect, it } from 'vitest';
import { splitEdits } from '../../../src/core/cut/splitEdits.ts';
import type { HalfReport, SplitReport } from '../../../src/core/cut/splitReport.ts';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';

const half: HalfReport = {
  turn: [0, 0, 0],
  fits: true,
  fits_held: true,
  size_mm: [1, 1, 1],
  held_mm: [1, 1],
  raise_mm: 3.2,
  volume_ml: 1,
  pieces: 1,
};
const split: SplitReport = {
  at: [1, 0, 4],
  toward: [1, 0, 0],
  fits: true,
  fits_held: true,
  section_mm2: 1,
  seam_mm: 1,
  shown_seam_mm: 0,
  keys: 2,
  keys_wanted: 2,
  key_diameter_mm: 6,
  lights: [],
  halves: { back: half, front: { ...half, turn: [0, 0, 90] } },
  why: '',
};

/** The text with the first part cut, or null. */
function cutIn(text: string, of: SplitReport = split): string | null {
  const { manifest } = parseManifest(text);
  const edit = splitEdits(text, manifest!.parts[0]!, of, manifest!, 2);
  if (edit !== null) expect(edit.edits).toHaveLength(1);
  return edit && applyEdits(text, edit.edits);
}

describe('a part in two, in the text', () => {
  it('keeps comments and order; openings go to the half they lie on', () => {
    const text = `kit: x
scale: { factor: 2 }
parts:
  # Heavy.
  base:                        # the ground
    file: parts/base.stl
    wall: 2                    # thick
    vents:
      - { at: [0, 0, 0], diameter: 4 }   # left
      - { at: [2, 0, 0], diameter: 5 }   # right
    keep-solid:
      - { at: [0, 0, 0], radius: 1.9 }
      - { at: [0, 0, 0], radius: 2.1 }
      - { at: [2, 0, 0], size: [4.2, 1, 1] }
    show:
      - [[0, 0, 0], [1, 0, 0], [0, 1, 0]]

  boots: { file: parts/boots.stl }
# the end
`;
    expect(cutIn(text)).toBe(`kit: x
scale: { factor: 2 }
parts:
  # Heavy.
  base-a:                        # the ground
    file: parts/base.stl
    wall: 2                    # thick
    vents:
      - { at: [0, 0, 0], diameter: 4 }   # left
      # right
    keep-solid:
      - { at: [0, 0, 0], radius: 1.9 }
      - { at: [0, 0, 0], radius: 2.1 }
      - { at: [2, 0, 0], size: [4.2, 1, 1] }
    show:
      - [[0, 0, 0], [1, 0, 0], [0, 1, 0]]
    cut:
      base-seam: back
  base-b:                        # the ground
    file: parts/base.stl
    wall: 2                    # thick
    vents:
      # left
      - { at: [2, 0, 0], diameter: 5 }   # right
    keep-solid:
      - { at: [0, 0, 0], radius: 2.1 }
      - { at: [2, 0, 0], size: [4.2, 1, 1] }
    show:
      - [[0, 0, 0], [1, 0, 0], [0, 1, 0]]
    cut:
      base-seam: front
    turn: [0, 0, 90]

  boots: { file: parts/boots.stl }
cuts:
  base-seam: { at: [1, 0, 4], toward: [1, 0, 0], keys: 2 }
# the end
`);
  });

  it('planned supports bring the raise that a half wants, and no other raise is touched', () => {
    const raised = (keys: string) =>
      cutIn(`kit: x\nscale: { factor: 2 }\nparts:\n  base: { file: a.stl, ${keys} }\n`);
    expect(raised('raise: 1, supports: planned')!.match(/raise: [\d.]+/g)).toEqual([
      'raise: 3.2',
      'raise: 3.2',
    ]);
    expect(raised('raise: 5, supports: planned')!.match(/raise: [\d.]+/g)).toEqual(['raise: 5', 'raise: 5']);
    expect(raised('raise: 1')!.match(/raise: [\d.]+/g)).toEqual(['raise: 1', 'raise: 1']);
  });

  it('supports placed by hand go to the half they touch; the other is still held by planned ones', () => {
    const text = `scale: { factor: 2 }
parts:
  base:
    file: b.stl
    supports:
      by-hand:
        - { at: [0, 0, 0], tip: 1 }
        - { at: [0.5, 0, 0], tip: 1.5 }
      keep-free: [{ at: [3, 0, 0], radius: 1 }]
  cap: { file: c.stl, supports: { by-hand: [{ at: [2, 0, 0] }] } }
`;
    const { manifest, findings } = parseManifest(cutIn(text)!);
    expect(findings).toEqual([]);
    const tips = manifest!.parts.map(({ name, supports }) => [name, supports?.byHand.map(({ tip }) => tip)]);
    expect(tips).toEqual([
      ['base-a', [1, 1.5]],
      ['base-b', []],
      ['cap', [null]],
    ]);
    expect(manifest!.parts[1]!.supports!.keepFree).toEqual([{ at: [3, 0, 0], radius: 1 }]);
  });

  it('a part on one line, one that was cut before, and names that are taken', () => {
    const text =
      'scale: { factor: 2 }\nparts:\n  base: { file: b.stl, turn: [0, 0, 90], cut: { base-seam: front } }\n  BASE-A: { file: b.stl, cut: { base-seam: back } }\ncuts:\n  base-seam: { at: [0, 0, 0], toward: [0, 0, 1] }\n';
    const narrow = { ...split, keys: 1, key_diameter_mm: 4.5 };
    expect(cutIn(text, narrow)).toBe(
      'scale: { factor: 2 }\nparts:\n' +
        '  base-a2: { file: b.stl, turn: [0, 0, 0], cut: { base-seam: front, base-seam2: back } }\n' +
        '  base-b: { file: b.stl, turn: [0, 0, 90], cut: { base-seam: front, base-seam2: front } }\n' +
        '  BASE-A: { file: b.stl, cut: { base-seam: back } }\n' +
        'cuts:\n  base-seam: { at: [0, 0, 0], toward: [0, 0, 1] }\n' +
        '  base-seam2: { at: [1, 0, 4], toward: [1, 0, 0], keys: 1, key: { diameter: 4.5 } }\n',
    );
  });

  it('supports placed by hand go to the half they lie on; a plate of the part takes both halves', () => {
    const text = `scale: { factor: 2 }
parts:
  base:
    file: b.stl
    supports:
      by-hand:
        - { at: [0, 0, 0], tip: 1 }
        - { at: [2, 0, 0] }
      keep-free:
        - { at: [2, 0, 0], radius: 3 }
  cap: { file: c.stl }
plates:
  first:
    parts:
      - { part: base, at: [-20, 0], spin: 90 }   # heavy
      - cap
  second: { parts: [cap] }
`;
    const cut = cutIn(text)!;
    expect(cut).toContain('      - base-a   # heavy\n      - cap\n      - base-b\n');
    const { manifest, findings } = parseManifest(cut);
    expect(findings).toEqual([]);
    expect(manifest!.parts.map(({ supports }) => supports?.byHand.map(({ at }) => at))).toEqual([
      [[0, 0, 0]],
      [[2, 0, 0]],
      undefined,
    ]);
    expect(manifest!.parts.map(({ supports }) => supports?.keepFree.length)).toEqual([1, 1, undefined]);
    expect(manifest!.plates.map(({ parts }) => parts.map(({ part }) => part))).toEqual([
      ['base-a', 'cap', 'base-b'],
      ['cap'],
    ]);
  });

  it('keeps line ends, and what the parsed manifest says of all else', () => {
    const text = 'scale: { factor: 2 }\r\nparts:\r\n  base:\r\n    file: b.stl\r\n  cap:\r\n    file: c.stl';
    const cut = cutIn(text)!;
    expect(cut.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    const { manifest, findings } = parseManifest(cut);
    expect(findings).toEqual([]);
    expect(manifest!.parts.map(({ name, cuts }) => [name, cuts.map(({ side }) => side)])).toEqual([
      ['base-a', ['back']],
      ['base-b', ['front']],
      ['cap', []],
    ]);
  });

  it.each([
    ['a flow mapping of parts', 'scale: { factor: 2 }\nparts: { base: { file: b.stl } }\n'],
    ['a part that others share', 'scale: { factor: 2 }\nparts:\n  base: &b\n    file: b.stl\n  cap: *b\n'],
    ['broken YAML', 'scale: { factor: 2 }\nparts:\n  base:\n    file: b.stl\n  "\n'],
  ])('leaves %s alone', (_, text) => {
    expect(cutIn(text)).toBeNull();
  });

  it('a light names the halves that it runs in, in place of the part', () => {
    const text = `kit: x
scale: { factor: 2 }
lights:
  wire: { path: [[0, 0, 0], [9, 0, 0]], diameter: 3, through: [base, boots] }   # long
  glow:
    path: [[0, 0, 0], [0, 0, 9]]
    diameter: 3
    through:
      - boots
      - base   # the ground
  other: { path: [[0, 0, 0], [9, 0, 0]], diameter: 3, through: [boots] }
parts:
  base: { file: parts/base.stl }
  boots: { file: parts/boots.stl }
`;
    const lights = [
      { light: 'wire', halves: ['back', 'front'], angle_deg: 90 },
      { light: 'glow', halves: ['front'], angle_deg: null },
    ] as const;
    const after = cutIn(text, { ...split, lights })!;
    expect(after.match(/#.*/g)).toEqual(text.match(/#.*/g));
    const { manifest, findings } = parseManifest(after);
    expect(findings).toEqual([]);
    const through = manifest!.lights.map((light) => light.through.map(({ part }) => part));
    expect(through).toEqual([['base-a', 'boots', 'base-b'], ['boots', 'base-b'], ['boots']]);
    // Keys of both halves keep off the lights of either.
    expect(manifest!.cuts.get('base-seam')!.lights.map(({ name }) => name)).toEqual(['wire', 'glow']);
  });
});
