import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ManifestPath } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { lamplighter } from './lamplighter.ts';

const codes = (text: string): string[] => parseManifest(text).findings.map(({ code }) => code);
const messages = (text: string): string[] => parseManifest(text).findings.map(({ message }) => message);
const withScale = (text: string): string => `scale: { factor: 1 }\n${text}`;

/** What the only finding of a text points at, cut out of the text. */
function pointed(text: string, code: string): string {
  const parsed = parseManifest(text);
  const finding = parsed.findings.find((candidate) => candidate.code === code);
  expect(finding, `${code} in ${messages(text).join(' | ')}`).toBeDefined();
  const { start, end } = parsed.placeOf(finding!);
  return text.slice(start, end);
}

describe('parseManifest on the design’s manifest', () => {
  const parsed = parseManifest(lamplighter);
  const manifest = parsed.manifest!;

  it('has nothing to say', () => {
    expect(parsed.findings).toEqual([]);
  });

  it('reads every value', () => {
    expect(manifest.kit).toBe('The Lamplighter');
    expect(manifest.scale).toEqual({ finished: '1:4', factor: 3.4, derived: null, stylised: false });
    expect(manifest.machine).toMatchObject({
      plate: [192, 120],
      height: 200,
      layer: 0.05,
      margin: 2,
      vat: 350,
    });
    expect(manifest.machine.exposure).toEqual({ base: 25, baseLayers: 5, normal: 2.5 });
    expect(manifest.machine.lift).toMatchObject({ distance: 7, up: 60, down: 150, second: null });
    expect(manifest.resins.get('slate')).toMatchObject({
      density: 1.12,
      viscosity: 300,
      onHand: 900,
      price: 38,
    });
    expect(manifest.parts.map(({ name }) => name)).toEqual(['torso', 'lantern']);
    const torso = manifest.parts[0]!;
    expect(torso).toMatchObject({
      file: 'parts/torso.stl',
      turn: [0, 0, 0],
      raise: 5,
      wall: 1.5,
      resin: 'slate',
    });
    expect(torso.openings).toEqual([
      { id: 'vents/0', kind: 'vent', at: [12.1, -3, 8.4], diameter: 14, depth: 4 },
    ]);
    expect(manifest.parts[1]).toMatchObject({ wall: null, raise: 0, count: 2, mirrored: 0, resin: 'slate' });
  });

  it('lists the defaults it assumed, and none that was given', () => {
    const keys = manifest.assumptions.map(({ key }) => key);
    expect(keys).toContain('film.peel');
    expect(keys).toContain('limits.sealed-layers');
    expect(keys).toContain('resins.slate.liquid-density');
    expect(keys).not.toContain('machine.layer');
    expect(keys).not.toContain('parts.torso.turn');
    expect(manifest.assumptions.find(({ key }) => key === 'film.peel')).toMatchObject({
      value: 10,
      unit: 'kPa',
    });
  });

  it('finds places: leaf, flow list, block map by its key, list entry, absent child', () => {
    const cut = (path: ManifestPath, atKey = false): string => {
      const { start, end } = parsed.rangeOf(path, atKey);
      return lamplighter.slice(start, end);
    };
    expect(cut(['machine', 'layer'])).toBe('0.05');
    expect(cut(['machine', 'layer'], true)).toBe('layer');
    expect(cut(['machine', 'plate'])).toBe('[192, 120]');
    expect(cut(['parts', 'torso'])).toBe('torso');
    expect(cut(['parts', 'torso', 'vents', 0])).toBe('{ at: [12.1, -3.0, 8.4], diameter: 14, depth: 4 }');
    expect(cut(['parts', 'torso', 'vents', 0, 'depth'])).toBe('4');
    expect(cut(['parts', 'lantern', 'vents', 3, 'at'])).toBe('lantern');
    expect(cut(['limits', 'pull'])).toBe('kit');
  });
});

describe('supports', () => {
  const of = (kit: string, part: string) => {
    const { manifest, findings } = parseManifest(
      `scale: { factor: 1 }\n${kit}\nparts: { arm: { file: a.stl, raise: 5${part} } }\n`,
    );
    expect(findings.filter(({ part: where }) => where === 'arm')).toEqual([]);
    return manifest!.parts[0]!.supports;
  };
  const usual = {
    tip: 0.4,
    widestTip: 1.2,
    spacing: 4,
    strut: 1,
    plateHold: 100,
    safety: 1,
    raft: 1.2,
    raftLean: 45,
    byHand: [],
    keepFree: [],
  };
  it.each([
    ['nobody asks', '', '', null],
    ['the part asks', '', ', supports: planned', usual],
    ['the kit asks', 'supports: planned', '', usual],
    ['the part declines', 'supports: planned', ', supports: none', null],
    ['settings of the kit alone ask for nothing', 'supports: { tip: 0.5 }', '', null],
    [
      'a tip that begins wider than it may be',
      '',
      ', supports: { tip: 2 }',
      { ...usual, tip: 2, widestTip: 2 },
    ],
    [
      'settings of its own do',
      'supports: { tip: 0.5, raft: 2 }',
      ', supports: { spacing: 3 }',
      { ...usual, tip: 0.5, raft: 2, spacing: 3 },
    ],
  ])('%s', (_, kit, part, expected) => {
    expect(of(kit, part)).toEqual(expected);
  });
});

describe('stoppers', () => {
  const kit = (stoppers: string, openings: string) =>
    parseManifest(`scale: { factor: 1 }\n${stoppers}\nparts: { arm: { file: a.stl, ${openings} } }\n`);
  const hole = (more = '') => `[{ at: [1, 2, 3], diameter: 4${more} }]`;
  const usual = { clearance: 0.15, taper: 2, lip: 0 };

  it.each<[string, string, string, object[]]>([
    [
      'vents and drains get one',
      '',
      `vents: ${hole()}, drains: ${hole()}`,
      [
        { opening: 'vents/0', ...usual },
        { opening: 'drains/0', ...usual },
      ],
    ],
    ['tubes get none', '', `tubes: ${hole()}`, []],
    ['a tube that asks gets one', '', `tubes: ${hole(', stopper: yes')}`, [{ opening: 'tubes/0', ...usual }]],
    [
      'a tube that tells how gets one',
      '',
      `tubes: ${hole(', stopper: { lip: 0 }')}`,
      [{ opening: 'tubes/0', ...usual }],
    ],
    ['one opening is left open', '', `vents: ${hole(', stopper: no')}`, []],
    ['the kit has none', 'stoppers: no', `vents: ${hole()}`, []],
    [
      'the kit has none but one',
      'stoppers: no',
      `vents: ${hole(', stopper: yes')}`,
      [{ opening: 'vents/0', ...usual }],
    ],
    [
      'the kit decides, an opening differs',
      'stoppers: { clearance: 0.3, lip: 1 }',
      `vents: ${hole(', stopper: { lip: 2.5 }')}`,
      [{ opening: 'vents/0', clearance: 0.3, taper: 2, lip: 2.5 }],
    ],
  ])('%s', (_, stoppers, openings, expected) => {
    const { manifest, findings } = kit(stoppers, openings);
    expect(findings).toEqual([]);
    expect(manifest!.parts[0]!.stoppers).toEqual(expected);
  });

  it('assumes a clearance only where a stopper is made', () => {
    const assumed = (openings: string) =>
      kit('', openings).manifest!.assumptions.filter(({ key }) => key.startsWith('stoppers.'));
    expect(assumed(`vents: ${hole()}`).map(({ key, value }) => [key, value])).toEqual([
      ['stoppers.clearance', 0.15],
      ['stoppers.taper', 2],
      ['stoppers.lip', 0],
    ]);
    expect(assumed(`tubes: ${hole()}`)).toEqual([]);
  });

  it.each([
    ['arm-stoppers', 'stoppers of arm'],
    ['Arm-Mirrored', 'mirrored copy of arm'],
    ['arm-mirrored-stoppers', 'stoppers of arm-mirrored'],
  ])('no other part may be called %s', (name, what) => {
    const parts = (more: string) =>
      `scale: { factor: 1 }\nparts: { arm: { file: a.stl, ${more} }, ${name}: { file: b.stl } }\n`;
    const codes = (text: string) => parseManifest(text).findings.map(({ message }) => message);
    expect(codes(parts(`mirrored: 1, vents: ${hole()}`))).toEqual([expect.stringContaining(what)]);
    expect(codes(parts(`vents: ${hole(', stopper: no')}`))).toEqual([]);
  });

  it('a value out of range is told at its place and the kit’s is used', () => {
    const { manifest, findings } = kit('', `vents: ${hole(', stopper: { clearance: 9 }')}`);
    expect(findings.map(({ code, path }) => [code, path.join('.')])).toEqual([
      ['value-out-of-range', 'parts.arm.vents.0.stopper.clearance'],
    ]);
    expect(manifest!.parts[0]!.stoppers).toEqual([{ opening: 'vents/0', ...usual }]);
    expect(kit('stoppers: maybe', '').findings[0]!.message).toBe(
      'stoppers must be yes or no or a mapping of keys.',
    );
  });
});

describe('the show side', () => {
  const points = '[[0, 0, 0], [1, 0, 0], [0, 1, 0]]';
  const shown = (show: string) =>
    parseManifest(withScale(`parts: { arm: { file: a.stl, show: ${show} } }`)).manifest!.parts[0]!.show;
  const outline = [
    [0, 0, 0],
    [1, 0, 0],
    [0, 1, 0],
  ];

  it('is a list of outlines, each with a direction or without', () => {
    expect(shown(`[{ outline: ${points}, facing: [0, 0, 2] }, ${points}]`)).toEqual([
      { outline, facing: [0, 0, 2] },
      { outline, facing: null },
    ]);
    expect(shown('[]')).toEqual([]);
  });

  it('keeps what can be used', () => {
    expect(shown(`[{ outline: ${points}, facing: [0, 0, 0] }, [[1, 2, 3]], { facing: [1, 0, 0] }]`)).toEqual([
      { outline, facing: null },
    ]);
    const many = Array.from({ length: 1001 }, (_, i) => `[${i}, 0, 0]`).join();
    expect(shown(`[[${many}]]`)).toEqual([]);
  });
});

describe('line ends, comments and odd characters', () => {
  it('gives the same values and lines with CRLF, and no finding', () => {
    const text = lamplighter.replaceAll('\n', '\r\n');
    const parsed = parseManifest(text);
    expect(parsed.findings).toEqual([]);
    expect(parsed.manifest).toEqual(parseManifest(lamplighter).manifest);
    const plain = parseManifest(lamplighter).rangeOf(['parts', 'torso', 'vents', 0]);
    const { line, column, endLine, endColumn } = parsed.rangeOf(['parts', 'torso', 'vents', 0]);
    expect([line, column, endLine, endColumn]).toEqual([
      plain.line,
      plain.column,
      plain.endLine,
      plain.endColumn,
    ]);
  });

  it('counts columns in UTF-16 units behind an emoji', () => {
    const text = 'kit: "🏮"\nscale: { factor: 1 }\nparts: { "🏮": {} }\n';
    const parsed = parseManifest(text);
    const draft = parsed.findings.find(({ code }) => code === 'value-out-of-range')!;
    expect(parsed.placeOf(draft)).toMatchObject({ line: 3, column: 10, endColumn: 14 });
    const wall = 'parts: { lamp: { file: "🏮.stl", wall: 9999 } }';
    const range = parseManifest(withScale(wall)).rangeOf(['parts', 'lamp', 'wall']);
    expect(range.column).toBe(wall.indexOf('9999') + 1);
  });

  it('reads past a byte order mark', () => {
    expect(codes(`\ufeff${lamplighter}`)).toEqual([]);
    expect(parseManifest(`\ufeff${lamplighter}`).manifest!.kit).toBe('The Lamplighter');
  });

  it.each([
    ['', 'yaml-invalid'],
    ['# nothing yet\n', 'yaml-invalid'],
    ['- a\n- b\n', 'yaml-invalid'],
    ['just words', 'yaml-invalid'],
  ])('says that %j is no manifest', (text, code) => {
    expect(parseManifest(text).manifest).toBeNull();
    expect(codes(text)).toEqual([code]);
  });

  it('points at a tab used as indentation', () => {
    const parsed = parseManifest('kit: x\nscale:\n\tfactor: 1\n');
    expect(parsed.findings[0]!.code).toBe('yaml-invalid');
    expect(parsed.placeOf(parsed.findings[0]!).line).toBe(3);
  });

  it('tells broken YAML once and nothing guessed behind it', () => {
    expect(codes('kit: x\nscale: { factor: 1\nfoo: 3\n')).toEqual(expect.arrayContaining(['yaml-invalid']));
    expect(codes('kit: [x\nfoo: 3\n').every((code) => code === 'yaml-invalid')).toBe(true);
  });
});

describe('keys and values', () => {
  it('names the nearest key for an unknown one, and points at it', () => {
    const text = withScale('machine: { hieght: 200 }\n');
    expect(messages(text)).toEqual(['machine.hieght is not a key Kitwright knows; did you mean height?']);
    expect(pointed(text, 'key-unknown')).toBe('hieght');
    expect(messages(withScale('resins: { slate: { onHand: 3 } }'))[0]).toContain('did you mean on-hand?');
    expect(messages(withScale('zebra: 1'))[0]).toContain('it has no effect.');
  });

  it('lets a part bear the name of a key or of an object’s own members', () => {
    const text = withScale(
      'parts:\n  count: { file: a.stl }\n  constructor: { file: b.stl }\n  toString: { file: c.stl }\n',
    );
    expect(codes(text)).toEqual([]);
    expect(parseManifest(text).manifest!.parts.map(({ name }) => name)).toEqual([
      'count',
      'constructor',
      'toString',
    ]);
  });

  it.each(['__proto__', '../escape', 'a/b', 'con', 'LPT1.x', '', 'x'.repeat(81), '.hidden', 'tail.'])(
    'refuses the part name %j',
    (name) => {
      const parsed = parseManifest(withScale(`parts: { ${JSON.stringify(name)}: { file: a.stl } }`));
      expect(parsed.findings.map(({ code }) => code)).toEqual(['value-out-of-range']);
      expect(parsed.manifest!.parts).toEqual([]);
    },
  );

  it('refuses two parts that differ in letter case alone', () => {
    const text = withScale('parts: { Arm: { file: a.stl }, arm: { file: b.stl } }');
    expect(codes(text)).toEqual(['value-out-of-range']);
    expect(pointed(text, 'value-out-of-range')).toBe('arm');
  });

  it.each([
    ['/etc/passwd', 'not inside the kit folder'],
    ['C:/x.stl', 'not inside the kit folder'],
    ['../x.stl', 'leaves the kit folder'],
    ['parts/../../x.stl', 'leaves the kit folder'],
    ['parts/..', 'leaves the kit folder'],
    ['parts\\\\x.stl', 'backslash'],
    ['a\\u0000.stl', 'control character'],
    ['', 'is empty'],
  ])('refuses the file %s', (file, reason) => {
    const text = withScale(`parts: { arm: { file: "${file}" } }`);
    expect(codes(text)).toEqual(['value-out-of-range']);
    expect(messages(text)[0]).toContain(reason);
    expect(parseManifest(text).manifest!.parts[0]!.file).toBeNull();
  });

  it.each([
    ['machine: { layer: 3 }', '3', 3, 1],
    ['machine: { layer: .nan }', '.nan', undefined, undefined],
    ['machine: { layer: .inf }', '.inf', Number.POSITIVE_INFINITY, 1],
    ['machine: { layer: "0.05" }', '"0.05"', undefined, undefined],
    ['machine: { plate: [192, -1] }', '-1', -1, 0],
    ['machine: { plate: [192] }', '[192]', undefined, undefined],
    ['machine: { exposure: { base-layers: 2.5 } }', '2.5', 2.5, undefined],
    ['machine: 7', '7', undefined, undefined],
    ['parts: { arm: { file: a.stl, wall: 0 } }', '0', 0, 0.2],
    ['parts: { arm: { file: a.stl, wall: Solid } }', 'Solid', undefined, undefined],
    ['parts: { arm: { file: a.stl, vents: 3 } }', '3', undefined, undefined],
    ['parts: { arm: { file: a.stl, vents: [7] } }', '7', undefined, undefined],
    [
      'parts: { arm: { file: a.stl, vents: [{ at: [1, 2, 3] }] } }',
      '{ at: [1, 2, 3] }',
      undefined,
      undefined,
    ],
    [
      'parts: { arm: { file: a.stl, vents: [{ at: [1, 2, 3], diameter: 4, toward: [0, 0, 0] }] } }',
      '[0, 0, 0]',
      undefined,
      undefined,
    ],
    [
      'parts: { arm: { file: a.stl, show: [[[0, 0, 0], [1, 0, 0]]] } }',
      '[[0, 0, 0], [1, 0, 0]]',
      undefined,
      undefined,
    ],
    ['parts: { arm: { file: a.stl, count: 0 } }', '0', 0, 1],
    ['machine: { margin: 60 }', '60', 60, 60],
    ['machine: { resin-depth: 3 }', 'machine', 4, 3],
    ['kit: { a: 1 }', '{ a: 1 }', undefined, undefined],
  ])('finds %s out of range, at the value', (yaml, value, measured, limit) => {
    const text = withScale(yaml);
    expect(codes(text)).toEqual(['value-out-of-range']);
    expect(pointed(text, 'value-out-of-range')).toBe(value);
    const draft = parseManifest(text).findings[0]!;
    expect(draft.measured).toBe(measured);
    expect(draft.limit).toBe(limit);
  });

  it('uses the default for a value that cannot be used', () => {
    expect(parseManifest(withScale('machine: { layer: 3 }')).manifest!.machine.layer).toBe(0.05);
  });

  it('keeps an opening’s number in the list when one before it is unusable', () => {
    const text = withScale('parts: { arm: { file: a.stl, vents: [{}, { at: [1, 2, 3], diameter: 4 }] } }');
    expect(parseManifest(text).manifest!.parts[0]!.openings.map(({ id }) => id)).toEqual(['vents/1']);
  });

  it('takes an absent or empty value for its default without a word', () => {
    const text = withScale('machine:\nlimits:\nparts:\n  arm:\n    file: a.stl\n    vents:\n    wall:\n');
    expect(codes(text)).toEqual([]);
    expect(parseManifest(text).manifest!.parts[0]!.wall).toBe(1.5);
  });
});

describe('scale', () => {
  it.each([
    ['kit: x', 'kit'],
    ['kit: x\nscale: {}', 'scale'],
    ['scale: { finished: "1:4" }', 'finished'],
    ['scale: { from: { source: 130, subject: 1768 } }', 'from'],
    ['scale: { finished: "1:4", factor: 3.4, from: { source: 130, subject: 1768 } }', 'from'],
  ])('is missing or said twice in %j', (text, place) => {
    expect(codes(text)).toEqual(['scale-missing']);
    expect(pointed(text, 'scale-missing')).toBe(place);
  });

  it('takes the factor from a length: 1768 mm at 1:4 over 130 units is 3.4', () => {
    const text = 'scale: { finished: "1:4", from: { source: 130, subject: 1768 } }';
    expect(codes(text)).toEqual([]);
    expect(parseManifest(text).manifest!.scale.factor).toBeCloseTo(3.4, 12);
  });

  it('says once that a factor cannot be used', () => {
    expect(codes('scale: { factor: -1 }')).toEqual(['value-out-of-range']);
  });

  it.each(['1:0', '4', 'quarter', '1:-4', '2:1'])('refuses the scale %s', (finished) => {
    expect(codes(`scale: { factor: 1, finished: "${finished}" }`)).toEqual(['value-out-of-range']);
  });
});

describe('resins', () => {
  it('tells a resin that is not described, once', () => {
    const text = withScale(
      'resins: { slate: {} }\nparts: { a: { file: a.stl, resin: salte }, b: { file: b.stl, resin: salte } }',
    );
    expect(codes(text)).toEqual(['resin-unknown']);
    expect(pointed(text, 'resin-unknown')).toBe('salte');
  });

  it('a cut that is not described is told with the nearest name, and the part is taken whole', () => {
    const plane = 'cuts: { waist: { at: [0, 0, 1], toward: [0, 0, 1] }, knee: { at: [0, 0, 1] } }\n';
    const text = withScale(
      `${plane}parts: { a: { file: a.stl, cut: { waits: back } }, b: { file: a.stl, cut: { waist: front, knee: back } } }`,
    );
    expect(codes(text)).toEqual(['value-out-of-range', 'cut-unknown', 'cut-unknown']);
    expect(pointed(text, 'cut-unknown')).toBe('waits');
    const { manifest, findings } = parseManifest(text);
    expect(findings.map(({ message }) => message).join()).toContain('did you mean waist?');
    expect(manifest!.parts.map(({ cuts }) => cuts.map(({ name, cut }) => [name, cut !== null]))).toEqual([
      [['waits', false]],
      [
        ['waist', true],
        ['knee', false],
      ],
    ]);
    expect(manifest!.cuts.get('waist')).toEqual({
      at: [0, 0, 1],
      toward: [0, 0, 1],
      keys: { count: 2 },
      key: { diameter: 6, length: 8, taper: 2, wall: 1.5 },
      clearance: 0.15,
      passages: [],
      lights: [],
    });
  });

  it('passages become openings of the halves, square to the plane and into them', () => {
    const text = withScale(
      'cuts: { waist: { at: [0, 0, 1], toward: [0, 0, 2], passages: [{ at: [1, 2, 3], diameter: 5 }, { at: [1, 2] }] } }\nparts: { a: { file: a.stl, cut: { waist: back } }, b: { file: a.stl, cut: { waist: front } } }',
    );
    expect(codes(text)).toEqual(['value-out-of-range', 'value-out-of-range']);
    const passage = { id: 'passages/0/waist', kind: 'passage', at: [1, 2, 1], diameter: 5 };
    const { parts } = parseManifest(text).manifest!;
    expect(parts.map(({ openings }) => openings)).toEqual([
      [{ ...passage, toward: [-0, -0, -1] }],
      [{ ...passage, toward: [0, 0, 1] }],
    ]);
    expect(parts.flatMap(({ stoppers }) => stoppers)).toEqual([]);
  });

  it('keys at places of the builder take the diameter of the others where they name none', () => {
    const text = withScale(
      'cuts: { waist: { at: [0, 0, 1], toward: [0, 0, 1], key: { diameter: 4 }, keys: [{ at: [1, 2, 3] }, { diameter: 3 }, { at: [4, 5, 6], diameter: 9 }] } }\nparts: { a: { file: a.stl } }',
    );
    expect(codes(text)).toEqual(['value-out-of-range']);
    expect(parseManifest(text).manifest!.cuts.get('waist')!.keys).toEqual({
      places: [
        { index: 0, at: [1, 2, 3], diameter: 4 },
        { index: 2, at: [4, 5, 6], diameter: 9 },
      ],
    });
  });

  it('takes the only resin there is', () => {
    const text = withScale('resins: { slate: {} }\nparts: { a: { file: a.stl } }');
    expect(parseManifest(text).manifest!.parts[0]!.resin).toBe('slate');
  });
});

describe('anchors, aliases and merge keys', () => {
  const text = withScale(
    'parts:\n  left: &arm\n    file: a.stl\n    wall: &w 2\n  right:\n    <<: *arm\n    file: b.stl\n  base:\n    file: c.stl\n    wall: *w\n',
  );
  it('are followed, own keys first', () => {
    const { parts } = parseManifest(text).manifest!;
    expect(codes(text)).toEqual([]);
    expect(parts.map(({ file, wall }) => [file, wall])).toEqual([
      ['a.stl', 2],
      ['b.stl', 2],
      ['c.stl', 2],
    ]);
  });

  it.each([
    ['kit: *nowhere', '*nowhere'],
    ['kit: x\nparts: &p { a: *p }', '*p'],
    ['kit: x\nkit: y', 'kit'],
    ['kit: x\n<<: 3', '3'],
    ['? [a]\n: b', '[a]'],
  ])('are faults of the YAML in %j', (broken, place) => {
    expect(pointed(broken, 'yaml-invalid')).toBe(place);
  });

  // Followed to its end it has 9¹² values; the test's own time limit is what it would run into.
  it('stops a text that multiplies itself', () => {
    const bomb = ['a0: &a0 [x, x, x, x, x, x, x, x, x]'];
    for (let i = 1; i < 12; i++)
      bomb.push(
        `a${i}: &a${i} [${Array(9)
          .fill(`*a${i - 1}`)
          .join(', ')}]`,
      );
    expect(messages(bomb.join('\n')).join(' ')).toContain('expands to more values');
  });
});

describe('hostile text', () => {
  it('refuses a huge manifest and one nested without end', () => {
    expect(messages('#'.repeat(1_000_001))[0]).toContain('1000001 characters');
    expect(messages(`a: ${'['.repeat(100_000)}`)[0]).toContain('levels deep');
    expect(messages('- '.repeat(100_000))[0]).toContain('levels deep');
  });

  it('takes a directive of an older YAML without a throw', () => {
    expect(codes('%YAML 1.1\n---\nscale: { factor: 1 }\nkit: !!set { a }\n')).toEqual(['value-out-of-range']);
  });

  const neverThrows = (text: string): void => {
    const parsed = parseManifest(text);
    for (const draft of parsed.findings) {
      const { start, end, line, column } = parsed.placeOf(draft);
      expect(start).toBeGreaterThanOrEqual(0);
      expect(end).toBeGreaterThanOrEqual(start);
      expect(end).toBeLessThanOrEqual(text.length);
      expect(line).toBeGreaterThan(0);
      expect(column).toBeGreaterThan(0);
      expect(draft.message.length).toBeGreaterThan(0);
    }
    parsed.rangeOf(['parts', 'torso', 'vents', 0, 'at', 1]);
    parsed.rangeOf([], true);
  };

  it('never throws on any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 300 }), neverThrows), { numRuns: 200 });
    const yamlish = fc.array(
      fc.constantFrom(
        'kit',
        'parts',
        ':',
        ' ',
        '\n',
        '  ',
        '- ',
        '[',
        ']',
        '{',
        '}',
        ',',
        '&a ',
        '*a',
        '<<: ',
        '|',
        '>',
        '"',
        "'",
        '#',
        '?',
        '!',
        '%',
        '---\n',
        '\t',
        '\r\n',
        '1',
        'wall',
        'vents',
        '\u0000',
      ),
      { maxLength: 60 },
    );
    fc.assert(
      fc.property(yamlish, (pieces) => neverThrows(pieces.join(''))),
      { numRuns: 500 },
    );
  });

  it('never throws on the manifest cut, spliced or struck anywhere', () => {
    const at = fc.nat(lamplighter.length);
    fc.assert(
      fc.property(at, at, fc.string({ unit: 'binary', maxLength: 12 }), (from, length, insert) => {
        neverThrows(lamplighter.slice(0, from) + insert + lamplighter.slice(from + (length % 40)));
      }),
      { numRuns: 200 },
    );
    for (let cut = 0; cut < lamplighter.length; cut += 7) neverThrows(lamplighter.slice(0, cut));
  });
});
