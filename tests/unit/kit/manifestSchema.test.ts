import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { keyTable } from '../../../src/core/kit/keyTable.ts';
import { manifestSchema } from '../../../src/core/kit/manifestSchema.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { poseConcerns } from '../../../src/core/pose/poseFigures.ts';
import { lamplighter } from './lamplighter.ts';

const validate = new Ajv({ strict: true, allowUnionTypes: true }).compile(manifestSchema());

describe('the manifest’s JSON schema', () => {
  it('accepts the design’s manifest', () => {
    expect(validate(parse(lamplighter)), JSON.stringify(validate.errors)).toBe(true);
  });

  it.each([
    'machine: { layer: 0.1 }',
    'machine: { layer: }',
    'machine:',
    'parts: { arm: { file: a.stl, wall: solid, vents: } }',
    'parts: { arm: { file: a.stl, wall: 2.5, vents: [{ at: [1, 2, 3], diameter: 4, toward: [0, 0, 1] }] } }',
    'scale: { finished: 1:4, from: { source: 130, subject: 1768 } }',
    'scale: { finished: "1:4", from: [{ between: [[0, 0, 0], [0, 0, 9]], measure: stature, sex: men }, { source: 9, print: 440 }], stylised: yes }',
    'limits: { sealed-layers: 12 }',
    'parts: { arm: { file: a.stl, keep-solid: [{ at: [1, 2, 3], radius: 4 }, { at: [1, 2, 3], size: [4, 5, 6] }] } }',
    'stoppers: no',
    'parts: { arm: { file: a.stl, show: [[[0, 0, 0], [1, 0, 0], [0, 1, 0]]] } }',
    'parts: { arm: { file: a.stl, show: [{ outline: [[0, 0, 0], [1, 0, 0], [0, 1, 0]], facing: [0, 0, 1] }] } }',
    'stoppers: { clearance: 0.2, taper: 0, lip: 1.5 }',
    'stoppers:',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: 3, key: { diameter: 5 }, clearance: 0.2 } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: [{ at: [1, 2, 3] }, { at: [1, 2, 3], diameter: 4 }] } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0] } }\nparts: { arm: { file: a.stl, cut: { seam: front } } }',
    'plates:',
    'plates: { arms: { parts: [] } }',
    'parts: { arm: { file: a.stl }, leg: { file: b.stl } }\nplates: { limbs: { parts: [arm, { part: leg, at: [-40, 12], spin: 90 }], gap: 2 } }',
    'parts: { arm: { file: a.stl, tubes: [{ at: [1, 2, 3], diameter: 4, stopper: yes }] } }',
    'parts: { arm: { file: a.stl, vents: [{ at: [1, 2, 3], diameter: 4, stopper: { lip: 3 } }] } }',
  ])('and the parser both accept %s', (yaml) => {
    expect(validate(parse(yaml))).toBe(true);
    const codes = parseManifest(yaml).findings.map(({ code }) => code);
    expect(codes.filter((code) => code !== 'scale-missing')).toEqual([]);
  });

  it.each([
    'hieght: 1',
    'machine: { hieght: 1 }',
    'machine: { layer: 3 }',
    'machine: { layer: "0.05" }',
    'machine: { plate: [192] }',
    'machine: { plate: [192, 0] }',
    'machine: { exposure: { base-layers: 2.5 } }',
    'machine: 7',
    'cuts: { seam: { at: [0, 0, 4] } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: 1.5 } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: 99 } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: many } }',
    'cuts: { seam: { at: [0, 0, 4], toward: [1, 0, 0], keys: [{ diameter: 4 }] } }',
    'parts: { arm: { file: a.stl, cut: { seam: left } } }',
    'parts: { arm: { file: a.stl, cut: seam } }',
    'parts: { arm: { file: a.stl, cut: { a: back, b: back, c: back, d: back, e: back, f: back, g: back, h: back, i: back } } }',
    'parts: [a]',
    'parts: { arm: { wall: Solid } }',
    'parts: { arm: { wall: 0 } }',
    'parts: { arm: { file: /etc/passwd } }',
    'parts: { arm: { vents: [{ at: [1, 2, 3] }] } }',
    'parts: { arm: { vents: [ ] , drains: [ 3 ] } }',
    'parts: { arm: { show: [[[0, 0, 0], [1, 0, 0]]] } }',
    'parts: { arm: { show: [{ outline: [[0, 0, 0], [1, 0, 0]] }] } }',
    'parts: { arm: { show: [{ facing: [0, 0, 1] }] } }',
    'parts: { arm: { show: [null] } }',
    'parts: { arm: { show: [3] } }',
    'scale: { finished: "4" }',
    'parts: { arm: { keep-solid: [{ at: [1, 2, 3] }] } }',
    'parts: { arm: { keep-solid: [{ radius: 4 }] } }',
    'parts: { arm: { keep-solid: [{ at: [1, 2, 3], radius: 4, size: [4, 5, 6] }] } }',
    'parts: { arm: { keep-solid: [{ at: [1, 2, 3], size: [4, 0, 6] }] } }',
    `parts: { arm: { keep-solid: [${'{ at: [1, 2, 3], radius: 4 }, '.repeat(101)}] } }`,
    'stoppers: none',
    'plates: [arms]',
    'plates: { arms: { gap: 3 } }',
    'plates: { arms: { parts: arm } }',
    'plates: { arms: { parts: [null] } }',
    'plates: { arms: { parts: [[arm]] } }',
    'plates: { arms: { parts: [{ at: [1, 2] }] } }',
    'plates: { arms: { parts: [{ part: arm, at: [1, 2, 3] }] } }',
    'plates: { arms: { parts: [{ part: arm, spin: 400 }] } }',
    'plates: { arms: { parts: [], gap: -1 } }',
    `plates: { arms: { parts: [${'arm, '.repeat(101)}] } }`,
    'stoppers: 0.2',
    'stoppers: { taper: 31 }',
    'parts: { arm: { vents: [{ at: [1, 2, 3], diameter: 4, stopper: [1] }] } }',
    'parts: { arm: { vents: [{ at: [1, 2, 3], diameter: 4, stopper: { gap: 1 } }] } }',
    'scale: { from: { source: 1 } }',
    'scale: { from: [{ source: 1, subject: 4, print: 1 }] }',
    'scale: { from: { between: [[0, 0, 0]], subject: 4 } }',
  ])('and the parser both reject %s', (yaml) => {
    expect(validate(parse(yaml))).toBe(false);
    const codes = parseManifest(yaml).findings.map(({ code }) => code);
    expect(codes.some((code) => code === 'key-unknown' || code === 'value-out-of-range')).toBe(true);
  });

  it('has the unit and the default of every key with one', () => {
    const text = JSON.stringify(manifestSchema());
    for (const { doc } of keyTable) expect(text).toContain(JSON.stringify(doc).slice(1, -1));
  });
});

describe('the key table', () => {
  it('names a basis for every default that assumes something', () => {
    const neutral = [
      'parts.*.turn',
      'parts.*.raise',
      'parts.*.count',
      'parts.*.mirrored',
      'parts.*.fill.level',
      'lights.*.carries.count',
      // What the builder cares for, not what is so.
      ...poseConcerns.map((concern) => `pose.${concern}`),
    ];
    for (const { path, fallback, basis } of keyTable) {
      expect(basis !== undefined, path).toBe(fallback !== undefined && !neutral.includes(path));
    }
  });

  it('accepts each of its own defaults', () => {
    for (const { path, fallback } of keyTable) {
      if (fallback === undefined || path.includes('*')) continue;
      const nested = path.split('.').reduceRight<unknown>((value, key) => ({ [key]: value }), fallback);
      expect(
        parseManifest(JSON.stringify(nested)).findings.map(({ code }) => code),
        path,
      ).toEqual(['scale-missing']);
      expect(validate(nested), path).toBe(true);
    }
  });

  it('has each path once, under a parent that is there', () => {
    const paths = keyTable.map(({ path }) => path);
    expect(new Set(paths).size).toBe(paths.length);
    for (const path of paths) {
      const parent = path.split('.').slice(0, -1).join('.');
      if (parent !== '') expect(paths).toContain(parent);
    }
  });
});
