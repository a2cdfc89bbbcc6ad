import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { startManifest } from '../../../src/core/kit/startManifest.ts';

const filesOf = (text: string): (string | null)[] =>
  parseManifest(text).manifest!.parts.map(({ file }) => file);

describe('a manifest to start with', () => {
  const started = startManifest('The Lamplighter', ['base.stl', 'parts/head.STL', 'parts/left arm.stl']);

  it('has every file, and asks for nothing but the scale', () => {
    const { manifest, findings } = parseManifest(started.text);
    expect(manifest?.kit).toBe('The Lamplighter');
    expect(manifest?.parts.map(({ name, file }) => [name, file])).toEqual([
      ['base', 'base.stl'],
      ['head', 'parts/head.STL'],
      ['left arm', 'parts/left arm.stl'],
    ]);
    expect(findings.map(({ code }) => code)).toEqual(['scale-missing']);
    expect(started.left).toEqual([]);
  });

  it('has examples that hold once their # is taken away, and change no figure', () => {
    const filled = started.text
      .replace(/^# scale: \{ finished.*$/m, '')
      .replaceAll(/^# ((?: {2})?[a-z-]+:.*)$/gm, '$1')
      .replaceAll(/^#( {4}[a-z-]+:.*)$/gm, '')
      .replace(
        /file: base.stl$/m,
        'file: base.stl\n    turn: [0, 0, 0]\n    raise: 5\n    wall: 2\n    supports: planned',
      );
    const { manifest, findings } = parseManifest(filled);
    expect(findings).toEqual([]);
    const assumed = parseManifest(started.text).manifest!;
    expect(manifest?.machine).toEqual(assumed.machine);
    expect(manifest?.resins.get('grey')).toMatchObject({ density: 1.18, viscosity: 300, onHand: 1000 });
    expect(manifest?.parts.map(({ wall, resin }) => [wall, resin])).toEqual([
      [2, 'grey'],
      [1.5, 'grey'],
      [1.5, 'grey'],
    ]);
    // It really filled them in.
    expect(manifest?.assumptions.map(({ key }) => key)).not.toContain('machine.vat');
    expect(assumed.assumptions.map(({ key }) => key)).toContain('machine.vat');
  });

  it('is the same for the same files', () => {
    expect(startManifest('kit', ['a.stl']).text).toBe(startManifest('kit', ['a.stl']).text);
  });

  it('gives names that a ready file can bear, none twice', () => {
    const files = [
      'Arm.stl',
      'parts/arm.stl',
      'CON.stl',
      '.stl',
      '__proto__.stl',
      'a b #c: d.stl',
      'true.stl',
      '12.stl',
      ' x .stl',
      `${'ä'.repeat(90)}.stl`,
      '💡.stl',
    ];
    const { parts, left, text } = startManifest('kit', files);
    expect(parts.map(({ name }) => name)).toEqual([
      'Arm',
      'arm-2',
      'part-CON',
      'part',
      'proto__',
      'a b -c- d',
      'true',
      '12',
      'x',
      'ä'.repeat(70),
      'part-2',
    ]);
    expect(left).toEqual([]);
    expect(filesOf(text)).toEqual(files);
  });

  it('leaves out what a manifest cannot name, and says why', () => {
    const { left, parts } = startManifest('kit', [
      'a\nb.stl',
      'a\\b.stl',
      `${'x'.repeat(260)}.stl`,
      '\uFFFD.stl',
      '\uD800.stl',
      'ok.stl',
    ]);
    expect(left.map(({ why }) => why)).toEqual([
      'has a control character',
      expect.stringContaining('backslash'),
      expect.stringContaining('longer'),
      expect.stringContaining('cannot be written'),
      expect.stringContaining('cannot be written'),
    ]);
    expect(parts).toEqual([{ name: 'ok', file: 'ok.stl' }]);
  });

  it('holds its files whatever they are called', () => {
    const name = fc
      .string({ unit: 'grapheme', minLength: 1, maxLength: 60 })
      .map((text) => `${text.replaceAll('/', '')}.stl`);
    const sign = fc.constantFrom(
      '"',
      "'",
      ':',
      '#',
      '{',
      '\\',
      '\n',
      '\u2028',
      '\u0085',
      '- ',
      '? ',
      '!',
      '&a',
      '*a',
      '%',
      '@',
      '<<',
    );
    const names = fc.uniqueArray(
      fc.oneof(
        name,
        fc.array(sign, { minLength: 1, maxLength: 6 }).map((signs) => `${signs.join('')}.stl`),
      ),
      { maxLength: 20 },
    );
    fc.assert(
      fc.property(names, fc.string({ unit: 'binary' }), (files, kit) => {
        const { text, parts, left } = startManifest(kit, files);
        const { manifest, findings } = parseManifest(text);
        expect(findings.map(({ code }) => code).filter((code) => code !== 'scale-missing')).toEqual([]);
        expect(manifest!.parts.map(({ name: part, file }) => ({ name: part, file }))).toEqual(parts);
        expect(parts.length + left.length).toBe(files.length);
      }),
      { numRuns: 300 },
    );
  });
});
