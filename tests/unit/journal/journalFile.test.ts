import { describe, expect, it } from 'vitest';
import { appendPrint } from '../../../src/core/kit/journal/appendPrint.ts';
import type { PrintEntry } from '../../../src/core/kit/journal/journal.ts';
import { isDate, readJournal } from '../../../src/core/kit/journal/readJournal.ts';
import { print, pull } from './prints.ts';

const read = (text: string): readonly PrintEntry[] => {
  const found = readJournal(text);
  if (!found.ok) throw new Error(found.error.message);
  return found.value;
};
const fault = (text: string): string => {
  const found = readJournal(text);
  return found.ok ? 'none' : found.error.message;
};

const failed = print({
  part: 'Kragen — "links"',
  result: 'off-supports',
  layer: 812,
  photo: 'photos/a b.jpg',
  words: 'Tore off: # and "quotes", ünïcödé',
  figures: { weakest: null, failed: pull({ holds: null }) },
});

describe('a print in the journal', () => {
  it('is read again as it was added, one after the other, and the journal has a head', () => {
    const one = appendPrint('', print())!;
    const two = appendPrint(one, failed)!;
    expect(one).toMatch(/^# How prints went/);
    expect(two.startsWith(one)).toBe(true);
    expect(read(two)).toEqual([print(), failed]);
    // A key a line, and settings and figures a line each: it is read by people.
    expect(Math.max(...two.split('\n').map((line) => line.length))).toBeLessThan(121);
  });

  it.each([
    [
      'comments, and keys and order of the builder',
      '# mine\n- part: torso   # first\n  result: good\n  mood: fine\n  date: 2026-11-01\n# so far\n',
    ],
    ['a text that ends in the midst of a line', '- { part: torso, date: 2026-11-01, result: flawed }'],
    ['lines of another system', '- part: torso\r\n  date: 2026-11-01\r\n  result: good\r\n'],
    ['an indented list', '  - part: torso\n    date: 2026-11-01\n    result: good\n'],
    [
      'words over several lines',
      '- part: torso\n  date: 2026-11-01\n  result: good\n  words: |\n    One.\n    Two.\n',
    ],
    ['a byte order mark and no entry', '\ufeff# none yet\n'],
  ])('leaves %s as they are', (_, text) => {
    const after = appendPrint(text, failed)!;
    expect(after.startsWith(text)).toBe(true);
    expect(read(after)).toEqual([...read(text), failed]);
    if (text.includes('\r\n')) expect(after.replaceAll('\r\n', '')).not.toContain('\n');
  });

  it.each([
    ['a list in brackets', '[{ part: torso, date: 2026-11-01, result: good }]\n'],
    ['a mapping', 'prints: []\n'],
    ['broken YAML', '- part: [torso\n'],
    ['a document that has ended', '- { part: torso, date: 2026-11-01, result: good }\n...\n# and then\n'],
  ])('is not added to %s', (_, text) => {
    expect(appendPrint(text, print())).toBeNull();
  });
});

describe('a journal that cannot be read', () => {
  it.each([
    ['prints: 3\n', 1, 'the journal is a list of prints'],
    ['- part: torso\n  date: 2026-11-01\n', 1, 'a print needs result'],
    ['- part: torso\n  date: 2026-11-01\n  result: great\n', 3, 'result must be good, flawed, off-plate'],
    ['- part: torso\n  date: 2026-02-30\n  result: good\n', 2, 'date must be a day'],
    ['- part: torso\n  date: 2026-02-03\n  result: good\n  layer: 1.5\n', 4, 'layer must be a whole number'],
    [
      '- part: torso\n  date: 2026-02-03\n  result: good\n  figures: { peel_kpa: 10 }\n',
      4,
      'figures needs size_mm',
    ],
    ['- part: torso\n  date: 2026-02-03\n  result: good\n  settings: [1]\n', 4, 'settings is a mapping'],
    ['- part: torso\n- [\n', 3, ''],
  ])('%j is told with its line', (text, line, why) => {
    expect(fault(text)).toContain(`journal.yaml:${line} cannot be read: `);
    expect(fault(text)).toContain(why);
  });

  it('is none that is empty, or written by hand without figures', () => {
    expect(read('')).toEqual([]);
    expect(read('# later\n')).toEqual([]);
    const [byHand] = read('- { part: torso, date: 2026-11-01, result: good, settings: , figures: null }\n');
    expect(byHand).toEqual(print({ date: '2026-11-01', settings: null, figures: null }));
  });

  it('knows the days of the calendar', () => {
    const days = [
      '2024-02-29',
      '2026-02-29',
      '1900-02-29',
      '2000-02-29',
      '2026-04-31',
      '2026-13-01',
      '2026-1-1',
    ];
    expect(days.map(isDate)).toEqual([true, false, false, true, false, false, false]);
  });
});
