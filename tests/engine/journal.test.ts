import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { box, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const text = `${manifestHead}film: { peel: 10 }   # a guess
parts:
  crate: { file: parts/crate.stl, wall: solid }
  held: { file: parts/crate.stl, wall: solid, raise: 5, supports: planned }
  lost: { file: parts/lost.stl }
`;
const kitAt = (name: string) =>
  writeKit(join(folder.path, name), text, { 'parts/crate.stl': toStl(box(20)) });
const read = (kit: string): string => readFileSync(join(kit, 'journal.yaml'), 'utf8');

describe('the journal', () => {
  it('takes a print with its settings and figures, and keeps what stands there', async () => {
    const kit = kitAt('log');
    const first = await kitwright([
      'log-print',
      kit,
      '--part',
      'crate',
      '--result',
      'good',
      '--date',
      '2026-11-03',
      '--words',
      'Fine: no lines',
    ]);
    // 400 mm² at 10 kPa: 4 N.
    expect([first.code, first.out]).toEqual([0, 'journal.yaml: 2026-11-03 crate, good, 4 N at layer 0.\n']);
    const begun = read(kit);
    expect(begun).toContain('words: "Fine: no lines"');
    expect(begun).toMatch(/size_mm: \[20, 20, 20\]/);
    // It stands on 400 mm² that the plate holds with 100 kPa, ten times the peel.
    expect(begun).toMatch(/weakest: \{ layer: 0, pull_n: 4, area_mm2: 400, holds: 10 \}/);
    writeFileSync(join(kit, 'journal.yaml'), `${begun}  mine: yes   # a note\n`);
    writeFileSync(join(kit, 'a.jpg'), '');
    const second = await kitwright([
      'log-print',
      kit,
      '--part',
      'held',
      '--result',
      'off-supports',
      '--layer',
      '60',
      '--photo',
      join(kit, 'a.jpg'),
      '--json',
    ]);
    expect(second.code).toBe(0);
    const { entry } = JSON.parse(second.out);
    expect(entry).toMatchObject({
      part: 'held',
      layer: 60,
      photo: 'a.jpg',
      settings: { supports: 'planned', raise_mm: 5 },
    });
    expect(entry.figures.failed.layer).toBe(60);
    expect(entry.date).toMatch(/^\d{4}-\d{2}-\d{2}$/);
    expect(read(kit).startsWith(`${begun}  mine: yes   # a note\n- part: held`)).toBe(true);
    // The hashes are those that a ledger would have.
    await kitwright(['record', kit]);
    expect(readFileSync(join(kit, 'ledger.yaml'), 'utf8')).toContain(entry.settings.decisions);
    expect(readFileSync(join(kit, 'ledger.yaml'), 'utf8')).toContain(entry.settings.stl);
  }, 240_000);

  it('that cannot be read is told with its line and left alone', async () => {
    const kit = kitAt('broken');
    writeFileSync(join(kit, 'journal.yaml'), '- part: crate\n  date: yesterday\n  result: good\n');
    for (const args of [
      ['log-print', kit, '--part', 'crate', '--result', 'good'],
      ['journal', kit],
    ]) {
      const { code, err } = await kitwright(args);
      expect([code, err]).toEqual([2, expect.stringContaining('journal-unreadable: journal.yaml:2')]);
    }
    expect(read(kit)).toBe('- part: crate\n  date: yesterday\n  result: good\n');
  }, 120_000);

  it.each([
    [['--result', 'good'], 'option-invalid'],
    [['--part', 'crate', '--result', 'great'], 'option-invalid'],
    [['--part', 'crate', '--result', 'failed', '--layer', '400'], 'option-invalid'],
    [['--part', 'crate', '--result', 'good', '--date', '2026-02-30'], 'option-invalid'],
    [['--part', 'crate', '--result', 'good', '--photo', 'nowhere.jpg'], 'option-invalid'],
    [['--part', 'nobody', '--result', 'good'], 'part-unknown'],
    [['--part', 'lost', '--result', 'good'], 'file-unreadable'],
  ])(
    'takes nothing for %j',
    async (args, code) => {
      const kit = kitAt(`refused-${args.join('').replace(/\W/g, '')}`);
      const run = await kitwright(['log-print', kit, ...args]);
      expect([run.code, run.err]).toEqual([2, expect.stringContaining(`kitwright: ${code}: `)]);
      expect(existsSync(join(kit, 'journal.yaml'))).toBe(false);
    },
    120_000,
  );

  it('tells what worked for a part of this size, and takes a number over only where asked to', async () => {
    const kit = kitAt('answers');
    const none = await kitwright(['journal', kit]);
    expect([none.code, none.out]).toEqual([0, expect.stringContaining('The journal is empty')]);
    const came = (result: string, holds: number): string =>
      `- { part: crate, date: 2026-11-03, result: ${result}, figures: { size_mm: [20, 20, 20], layers: 400, liquid_ml: 8, hours: 1, peel_kpa: 10, peak: { layer: 0, pull_n: 4, area_mm2: 400 }, weakest: { layer: 0, pull_n: 4, area_mm2: 400, holds: ${holds} } } }\n`;
    writeFileSync(join(kit, 'journal.yaml'), came('good', 2) + came('good', 0.7) + came('flawed', 0.6));
    const told = await kitwright(['journal', kit, '--part', 'crate']);
    expect(told.out).toContain('3 prints: 2 good, 1 flawed');
    // 1 − 0.05^⅓ = 63 %.
    expect(told.out).toContain('3 of 3 came out; with so few prints up to 63 % of such may fail.');
    expect(told.out).toContain('film.peel, now 10 kPa: at most 6 kPa, three prints say at most 20 kPa');
    const kept = await kitwright(['journal', kit, '--write', 'peel']);
    expect(kept.out).toContain('The prints give no other number');
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(text);
    writeFileSync(join(kit, 'journal.yaml'), read(kit) + came('good', 0.8));
    const offered = await kitwright(['journal', kit]);
    expect(offered.out).toContain('your own number: film: { peel: 8 }');
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(text);
    const written = await kitwright(['journal', kit, '--write', 'peel', '--json']);
    expect(JSON.parse(written.out).written).toBe('film.peel');
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(text.replace('peel: 10', 'peel: 8'));
  }, 240_000);
});
