import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { completeAt } from '../../../src/core/kit/complete.ts';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { type FixRequest, fixesFor } from '../../../src/core/kit/fixes.ts';
import { hoverAt } from '../../../src/core/kit/hover.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { lamplighter } from './lamplighter.ts';

const files = ['parts/torso.stl', 'parts/coat.stl', 'parts/arm left.stl'];

/** Splits a text at its `|`, the cursor. */
function cursorIn(marked: string): [text: string, offset: number] {
  const offset = marked.indexOf('|');
  return [marked.slice(0, offset) + marked.slice(offset + 1), offset];
}

const offered = (marked: string) => completeAt(...cursorIn(marked), { files });
const labels = (marked: string): string[] => offered(marked).map(({ label }) => label);

describe('completion', () => {
  it.each<[string, string[]]>([
    [
      '|',
      [
        'kit',
        'scale',
        'machine',
        'film',
        'resins',
        'defaults',
        'limits',
        'pose',
        'stoppers',
        'supports',
        'cuts',
        'assembled',
        'joints',
        'parts',
        'plates',
        'lights',
      ],
    ],
    [
      'kit: x\nscale: { factor: 1 }\n|',
      [
        'machine',
        'film',
        'resins',
        'defaults',
        'limits',
        'pose',
        'stoppers',
        'supports',
        'cuts',
        'assembled',
        'joints',
        'parts',
        'plates',
        'lights',
      ],
    ],
    ['scale:\n  |', ['finished', 'factor', 'from', 'picking', 'stylised']],
    ['scale:\n  factor: 1\n  |', ['finished', 'from', 'picking', 'stylised']],
    ['scale: { factor: 1, | }', ['finished', 'from', 'picking', 'stylised']],
    ['scale: { from: { source: 1, s|', ['between', 'subject', 'measure', 'sex', 'print']],
    ['scale: { from: [{ source: 1, measure: |', ['stature', 'head-height', 'hand-length', 'foot-length']],
    ['machine:\n  lift:\n    distance: 7\n    |', ['up', 'down', 'wait', 'second']],
    ['machine:\n  lift:\n    distance: 7\n  exposure:\n    normal: 2\n    |', ['base', 'base-layers']],
    ['parts:\n  torso:\n    file: |', files.map((file) => file)],
    ['parts:\n  torso:\n    wall: |', ['solid']],
    ['defaults: { wall: |', ['solid', '1.5']],
    ['resins:\n  slate: {}\n  bone: {}\nparts:\n  torso:\n    resin: |', ['slate', 'bone']],
    ['parts:\n  torso:\n    keep-solid:\n      - |', ['at', 'radius', 'size']],
    ['parts:\n  torso:\n    keep-solid:\n      |', ['a ball', 'a box']],
    ['parts:\n  torso:\n    vents:\n      - |', ['at', 'diameter', 'depth', 'toward', 'stopper']],
    [
      'parts:\n  torso:\n    vents:\n    - { at: [1, 2, 3], |',
      ['at', 'diameter', 'depth', 'toward', 'stopper'],
    ],
    [
      'parts:\n  torso:\n    vents:\n      - at: [1, 2, 3]\n        |',
      ['at', 'diameter', 'depth', 'toward', 'stopper'],
    ],
    [
      'parts:\n  torso:\n    vents: [{ at: [1, 2, 3], diameter: 4 }, { |',
      ['at', 'diameter', 'depth', 'toward', 'stopper'],
    ],
    ['parts:\n  torso: { file: parts/torso.stl }\n  |', ['coat', 'arm left']],
    ['resins:\n  |', ['a resin']],
    ['cuts:\n  |', ['a cut']],
    ['cuts:\n  seam:\n    |', ['at', 'toward', 'keys', 'key', 'clearance', 'passages']],
    ['cuts:\n  seam: {}\n  knee: {}\nparts:\n  torso:\n    cut: { |', ['seam', 'knee']],
    ['parts:\n  torso:\n    cut: { seam: |', ['back', 'front']],
    ['plates:\n  |', ['a plate']],
    ['joints:\n  |', ['a joint']],
    ['plates:\n  arms:\n    |', ['parts', 'gap']],
    ['parts: { torso: {}, head: {} }\nplates:\n  both: { parts: [|', ['torso', 'head']],
    ['parts: { torso: {} }\nplates:\n  both:\n    parts:\n      - |', ['torso', 'part', 'at', 'spin']],
    ['parts: { torso: {} }\nplates: { both: { parts: [{ part: |', ['torso']],
    ['limits:\n  pull: |', ['100']],
    ['stoppers: |', ['yes', 'no']],
    ['stoppers: { |', ['clearance', 'taper', 'lip']],
    ['parts: { torso: { tubes: [{ stopper: |', ['yes', 'no']],
    ['parts:\n  torso:\n    vents:\n      - stopper:\n          |', ['clearance', 'taper', 'lip']],
    ['machine:\n  plate: |', ['[192, 120]']],
    ['kit: x # |', []],
    ['parts:\n  torso:\n    nonsense:\n      |', []],
    ['parts:\r\n  torso:\r\n    # why\r\n\r\n    file: |', files],
  ])('at %j', (marked, expected) => {
    expect(labels(marked)).toEqual(expected);
  });

  it('replaces what is written of the word, and no more', () => {
    const [text, offset] = cursorIn('parts:\n  torso:\n    file: parts/to|');
    for (const { start, end } of completeAt(text, offset, { files })) {
      expect(text.slice(start, end)).toBe('parts/to');
    }
  });

  it('offers a part with its file, and an opening to fill in', () => {
    expect(offered('parts:\n  |')[1]!.snippet).toBe('coat:\n  file: parts/coat.stl');
    expect(offered('parts:\n  torso:\n    |').find(({ label }) => label === 'vents')!.snippet).toBe(
      `vents:\n  - { at: [\${1:x}, \${2:y}, \${3:z}], diameter: \${4:6} }`,
    );
  });

  it('offers a ball or a box to be kept solid', () => {
    expect(offered('parts:\n  torso:\n    |').find(({ label }) => label === 'keep-solid')!.snippet).toBe(
      `keep-solid:\n  - { at: [\${1:x}, \${2:y}, \${3:z}], radius: \${4:6} }`,
    );
    expect(offered('parts:\n  torso:\n    keep-solid:\n      |')[1]!.snippet).toBe(
      `- { at: [\${1:x}, \${2:y}, \${3:z}], size: [\${4:10}, \${5:10}, \${6:10}] }`,
    );
    expect(offered('parts:\n  torso:\n    keep-solid: |').map(({ label }) => label)).toEqual([
      'a list of one region',
    ]);
  });

  it('each key completed with its default is a manifest without a fault', () => {
    for (const { label, snippet } of offered('machine:\n  |')) {
      const written = snippet.replace(/\$\{\d+:([^}]*)\}/g, '$1').replace(/\n {2}\$0/, '');
      const codes = parseManifest(`scale: { factor: 1 }\nmachine:\n  ${written}\n`).findings.map(
        ({ code }) => code,
      );
      expect(codes, label).toEqual([]);
    }
  });

  it('never throws, wherever the cursor is in whatever text', () => {
    fc.assert(
      fc.property(
        fc.nat(lamplighter.length),
        fc.nat(40),
        fc.string({ maxLength: 6 }),
        (from, length, insert) => {
          const text = lamplighter.slice(0, from) + insert + lamplighter.slice(from + length);
          completeAt(text, from + insert.length, { files });
          hoverAt(text, from);
        },
      ),
      { numRuns: 200 },
    );
  });
});

describe('hover', () => {
  it('tells unit, range, default and basis of a key', () => {
    const offset = lamplighter.indexOf('layer: 0.05') + 2;
    const hover = hoverAt(lamplighter, offset)!;
    expect(lamplighter.slice(hover.range.start, hover.range.end)).toBe('layer');
    expect(hover.markdown).toBe(
      '`machine.layer`\n\nHeight of one layer.\n\nUnit: mm · Range: 0.005 to 1 · Default: `0.05` (common practice, no source)',
    );
  });
  it('tells the vector’s key on a number inside it', () => {
    expect(hoverAt(lamplighter, lamplighter.indexOf('-3.0'))!.markdown).toContain('Centre of the mouth');
  });
  it('is silent in a comment, between keys and on an unknown key', () => {
    expect(hoverAt(lamplighter, lamplighter.indexOf('# mm kept') + 4)).toBeNull();
    expect(hoverAt('zebra: 1', 2)).toBeNull();
    expect(hoverAt('', 0)).toBeNull();
  });
});

describe('quick fixes', () => {
  /** The text after the fix of that title for the finding of that code. */
  function fixed(text: string, code: FixRequest['code'], title: string): string {
    const parsed = parseManifest(text);
    const draft = parsed.findings.find((finding) => finding.code === code)!;
    expect(draft, code).toBeDefined();
    return apply(text, { code, offset: parsed.placeOf(draft).start }, title);
  }
  function apply(text: string, request: FixRequest, title: string): string {
    const fixes = fixesFor(text, request, { files });
    const chosen = fixes.find((each) => each.title === title);
    expect(chosen, fixes.map((each) => each.title).join(' | ')).toBeDefined();
    return applyEdits(text, chosen!.edits);
  }
  const good = 'scale: { factor: 1 }\n';

  it.each<[string, FixRequest['code'], string, string]>([
    [
      `${good}machine: { hieght: 9 } # c`,
      'key-unknown',
      'Rename to height',
      `${good}machine: { height: 9 } # c`,
    ],
    [`${good}zebra: 9 # c\n`, 'key-unknown', 'Remove zebra', `${good}# c\n`],
    [
      `${good}machine: { layer: 9 }`,
      'value-out-of-range',
      'Set the default, 0.05',
      `${good}machine: { layer: 0.05 }`,
    ],
    [
      `${good}machine: { plate: [9, 0] }`,
      'value-out-of-range',
      'Set the default, [192, 120]',
      `${good}machine: { plate: [192, 120] }`,
    ],
    [
      'kit: x\n',
      'scale-missing',
      'Add factor: 1 (print mm per source unit)',
      'kit: x\nscale:\n  factor: 1\n',
    ],
    [
      'scale: { finished: "1:4" }',
      'scale-missing',
      'Add factor: 1 (print mm per source unit)',
      'scale: { finished: "1:4", factor: 1 }',
    ],
    [
      'scale: { factor: 1, finished: "1:4", from: { source: 1, subject: 4 } }',
      'scale-missing',
      'Keep factor, remove from',
      'scale: { factor: 1, finished: "1:4" }',
    ],
    [
      'scale: { from: { source: 1, subject: 4 } }',
      'scale-missing',
      'Add finished: "1:4"',
      'scale: { from: { source: 1, subject: 4 }, finished: "1:4" }',
    ],
    [
      'scale: { finished: "1:4", from: [{ source: 9, print: 27 }, { source: 9, print: 33 }] }',
      'scale-disagrees',
      'Take this length out',
      'scale: { finished: "1:4", from: [{ source: 9, print: 33 }] }',
    ],
    [
      `${good}resins: { slate: {} }\nparts: { a: { file: a.stl, resin: salte } }`,
      'resin-unknown',
      'Print in slate',
      `${good}resins: { slate: {} }\nparts: { a: { file: a.stl, resin: slate } }`,
    ],
    [
      `${good}cuts: { waist: { at: [0, 0, 1], toward: [0, 0, 1] } }\nparts: { a: { file: a.stl, cut: { waits: back } } }`,
      'cut-unknown',
      'Take the cut waist',
      `${good}cuts: { waist: { at: [0, 0, 1], toward: [0, 0, 1] } }\nparts: { a: { file: a.stl, cut: { waist: back } } }`,
    ],
    [
      `${good}parts: { arm: { file: a.stl } }\nplates: { all: { parts: [amr] } }`,
      'plate-part-unknown',
      'Put arm there',
      `${good}parts: { arm: { file: a.stl } }\nplates: { all: { parts: [arm] } }`,
    ],
    [
      `${good}parts: { arm: { file: a.stl } }\nplates:\n  all:\n    parts:\n      - { part: ram, at: [1, 2] } # c\n`,
      'plate-part-unknown',
      'Put arm there',
      `${good}parts: { arm: { file: a.stl } }\nplates:\n  all:\n    parts:\n      - { part: arm, at: [1, 2] } # c\n`,
    ],
    [
      `${good}parts: { arm: { file: a.stl } }\nplates: { all: { parts: [arm, arm] } }`,
      'plate-part-unknown',
      'Take it off the plate',
      `${good}parts: { arm: { file: a.stl } }\nplates: { all: { parts: [arm] } }`,
    ],
    [
      `${good}parts:\n  coat:\n    raise: 5\n`,
      'file-missing',
      'Use parts/coat.stl',
      `${good}parts:\n  coat:\n    raise: 5\n    file: parts/coat.stl\n`,
    ],
  ])('%j, %s: %s', (text, code, title, expected) => {
    const after = fixed(text, code, title);
    expect(after).toBe(expected);
    expect(parseManifest(after).findings.map((finding) => finding.code)).not.toContain(code);
  });

  const request = (code: FixRequest['code'], at: string): FixRequest => ({
    code,
    offset: lamplighter.indexOf(at),
  });
  it.each<[FixRequest, string, string]>([
    [request('file-unreadable', 'parts/torso.stl'), 'Use parts/coat.stl', 'file: parts/coat.stl'],
  ])('%j: %s', (asked, title, expected) => {
    const after = apply(lamplighter, asked, title);
    expect(after).toContain(expected);
    expect(after).not.toBe(lamplighter);
    expect(after.match(/#.*/g)).toEqual(lamplighter.match(/#.*/g));
  });

  it.each(['plate-overlap', 'plate-outside'] as const)('%s: lets it be arranged, spin kept', (code) => {
    const text = 'plates:\n  all: { parts: [{ part: arm, at: [1, 2], spin: 90 }] } # c\n';
    const asked = { code, offset: text.indexOf('{ part:') };
    expect(apply(text, asked, 'Let it be arranged')).toBe(
      'plates:\n  all: { parts: [{ part: arm, spin: 90 }] } # c\n',
    );
  });

  it.each([
    ['outside-plate', true],
    ['too-tall', true],
    ['pull-high', false],
  ] as const)('%s: poses are proposed', (code, preferred) => {
    const [fix, ...others] = fixesFor(lamplighter, { code, offset: 0, part: 'torso' }, { files });
    expect(fix).toEqual({
      title: 'Propose poses for torso',
      edits: [],
      preferred,
      asks: { part: 'torso', ask: { kind: 'propose-pose' } },
    });
    expect(others.map(({ asks }) => asks?.ask.kind)).toEqual(code === 'pull-high' ? [] : ['propose-split']);
  });

  it.each(['needs-supports', 'starts-in-air'] as const)('%s: supports can be planned', (code) => {
    const [plan, ...others] = fixesFor(lamplighter, { code, offset: 0, part: 'torso' }, { files });
    expect(plan).toMatchObject({ title: 'Plan supports for torso', preferred: code === 'needs-supports' });
    const after = applyEdits(lamplighter, plan!.edits);
    expect(
      parseManifest(after).manifest!.parts.find(({ name }) => name === 'torso')!.supports,
    ).not.toBeNull();
    expect(after.match(/#.*/g)).toEqual(lamplighter.match(/#.*/g));
    expect(others.map(({ asks }) => asks?.ask.kind)).toEqual(
      code === 'starts-in-air' ? ['propose-supports', 'propose-pose'] : ['propose-supports'],
    );
  });

  it.each(['raft-meets-part', 'tip-overloaded', 'hold-weak', 'island-unheld'] as const)(
    '%s: what holds is proposed',
    (code) => {
      const fixes = fixesFor(lamplighter, { code, offset: 0, part: 'torso' }, { files });
      expect(fixes[0]).toEqual({
        title: 'Propose what holds torso',
        edits: [],
        preferred: false,
        asks: { part: 'torso', ask: { kind: 'propose-supports' } },
      });
    },
  );

  it('prefers at most one', () => {
    for (const code of ['file-missing', 'key-unknown'] as const) {
      const fixes = fixesFor(lamplighter, { code, offset: lamplighter.indexOf('4 }     #') }, { files });
      expect(fixes.filter(({ preferred }) => preferred).length).toBeLessThanOrEqual(1);
    }
  });

  it('offers nothing in broken YAML', () => {
    expect(fixesFor('a: [1\nzebra: 1', { code: 'key-unknown', offset: 7 }, { files })).toEqual([]);
  });
});
