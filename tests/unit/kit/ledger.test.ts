import { describe, expect, test } from 'vitest';
import { changeText, compareLedgers } from '../../../src/core/kit/ledger/compareLedgers.ts';
import type { Ledger, LedgerPart } from '../../../src/core/kit/ledger/ledger.ts';
import { ledgerText } from '../../../src/core/kit/ledger/ledgerText.ts';
import { readLedger } from '../../../src/core/kit/ledger/readLedger.ts';

const torso: LedgerPart = {
  stl: 'a'.repeat(64),
  decisions: '0123456789abcdef',
  size_mm: [106.1, 81, 197],
  wall_mm: 1.5,
  openings: { 'vents/0': 9, 'vents/2': 8, 'drains/0': 8 },
  resin: 'slate',
  liquid_ml: 96.1,
  mass_g: 84.3,
  hours: 14.4,
  layers: 3895,
  pull_n: 41,
  suction_n: 35.2,
  trapped_ml: 0,
  supports: { count: 30, widest_tip_mm: 0.95, reserve: 1.01 },
  findings: { 'sealed-cup': 2, 'wall-thin': 1 },
};
const cap: LedgerPart = { ...torso, wall_mm: null, openings: {}, resin: null, supports: null, findings: {} };
const ledgerOf = (parts: Ledger['parts'], findings: Ledger['findings'] = {}): Ledger => ({
  kit: 'The Lamplighter',
  parts,
  findings,
});
const before = ledgerOf({ torso, cap }, { 'resin-short': 1 });
const told = (after: Ledger): string[] =>
  compareLedgers(before, after).map((change) => changeText(change, after.kit));

describe('ledger.yaml', () => {
  test('is read as it was written, the same bytes each time', () => {
    const text = ledgerText(before);
    expect(readLedger(text)).toEqual({ ok: true, value: before });
    expect(ledgerText(before)).toBe(text);
    // One line for each thing, so that a diff shows which it was.
    expect(text).toContain('\n    openings: { vents/0: 9, vents/2: 8, drains/0: 8 }\n');
    expect(text).toContain('\n    findings: { sealed-cup: 2, wall-thin: 1 }\n');
    expect(text).toContain('\n    wall_mm: null\n');
    expect(text.startsWith('# What Kitwright computed')).toBe(true);
  });

  test('a part may have the name of a keyword of YAML or of objects', () => {
    const odd = ledgerOf({ null: torso, constructor: cap, '12': cap, 'a: b # c': cap });
    expect(readLedger(ledgerText(odd))).toEqual({ ok: true, value: odd });
  });

  test.each([
    ['', 'not a mapping'],
    ['ledger: 2\nkit: x\nparts: {}\nfindings: {}\n', 'another form'],
    ['ledger: 1\nkit: x\nfindings: {}\n', 'parts is not a mapping'],
    ['ledger: 1\nkit: 3\nparts: {}\nfindings: {}\n', 'kit is not a text'],
    ['ledger: 1\nkit: x\nparts: { a: 1 }\nfindings: {}\n', 'a is not a mapping'],
    ['ledger: 1\nkit: x\nparts: {}\nfindings: { a: .nan }\n', 'not a number'],
    ['ledger: [', ''],
    ['ledger: 1\nkit: "\\e]0;x"\nparts: {}\nfindings: {}\n', 'printable'],
    ['ledger: 1\nkit: x\nparts: {}\nfindings: { "a\\e[2J": 1 }\n', 'printable'],
    ['a: &a [1]\nb: *a\n', ''],
    [ledgerText(before).replace('liquid_ml: 96.1', 'liquid_ml: many'), 'torso.liquid_ml is not a number'],
    [ledgerText(before).slice(0, 700), ''],
  ])('%j is refused with a reason and what to do', (text, why) => {
    const read = readLedger(text);
    expect(read).toMatchObject({ ok: false, error: { code: 'ledger-unreadable' } });
    if (!read.ok) {
      expect(read.error.message).toContain(why);
      expect(read.error.message).toContain('Record it again');
    }
  });
});

describe('joints', () => {
  const joined: Ledger = {
    ...before,
    joints: { 'torso, cap': { gap_mm: 0.2, overlap_mm: 0 }, 'cap, joints': { gap_mm: 0.1, overlap_mm: 0.3 } },
    tip_deg: 17.7,
  };

  test('are a line each, and read as they were written', () => {
    const text = ledgerText(joined);
    expect(readLedger(text)).toEqual({ ok: true, value: joined });
    expect(text).toContain('\n  torso, cap: { gap_mm: 0.2, overlap_mm: 0 }\n');
    expect(text).toContain('\ntip_deg: 17.7\n');
    expect(readLedger(text.replace('gap_mm: 0.2', 'gap_mm: wide'))).toMatchObject({ ok: false });
  });

  test('are told as they change, and not where none were recorded before', () => {
    const smaller: Ledger = {
      ...joined,
      joints: { ...joined.joints, 'torso, cap': { gap_mm: 0.13, overlap_mm: 0 } },
      tip_deg: 16,
    };
    expect(compareLedgers(joined, smaller).map((change) => changeText(change, 'x'))).toEqual([
      'x: gap of torso, cap 0.2 → 0.13 mm, falls over at 17.7 → 16 °',
    ]);
    expect(compareLedgers(before, joined)).toEqual([]);
  });
});

describe('compareLedgers', () => {
  test('nothing to tell of the same ledger', () => {
    expect(told(before)).toEqual([]);
  });

  test('reads like prose: decisions first, then what they did', () => {
    const opened: LedgerPart = {
      ...torso,
      decisions: 'f'.repeat(16),
      openings: { ...torso.openings, 'vents/2': 11 },
      pull_n: 9,
      liquid_ml: 93.1,
      suction_n: 3.5,
      findings: { 'wall-thin': 1 },
    };
    expect(told(ledgerOf({ torso: opened, cap }, { 'resin-short': 1 }))).toEqual([
      'torso: vent 2 8 → 11 mm, worst pull 41 → 9 N, suction 35.2 → 3.5 N, resin −3 ml, no more sealed-cup',
    ]);
  });

  test.each<[string, Partial<LedgerPart>]>([
    ['another STL, size 106.1 × 81 × 197 → 100 × 80 × 190 mm', { stl: 'b', size_mm: [100, 80, 190] }],
    ['new vent 3 4 mm', { openings: { ...torso.openings, 'vents/3': 4 } }],
    ['no drain 0', { openings: { 'vents/0': 9, 'vents/2': 8 } }],
    ['wall 1.5 mm → solid', { wall_mm: null }],
    ['resin slate → granite', { resin: 'granite' }],
    [
      'supports 30 → 41, widest tip 0.95 → 1.3 mm, reserve 1.01 → –',
      { supports: { count: 41, widest_tip_mm: 1.3, reserve: null } },
    ],
    ['no supports', { supports: null }],
    ['weight +1.2 g, print −0.4 h', { mass_g: 85.5, hours: 14 }],
    [
      'sealed-cup 2 → 1, new: breathes-late',
      { findings: { 'sealed-cup': 1, 'wall-thin': 1, 'breathes-late': 1 } },
    ],
    ['sealed-cup 2 → 3', { findings: { 'sealed-cup': 3, 'wall-thin': 1 } }],
    ['layers 3895 → 3896', { layers: 3896, decisions: 'f'.repeat(16) }],
    ['decisions changed, no figure of it did', { decisions: 'f'.repeat(16) }],
  ])('%s', (text, change) => {
    const after = ledgerOf({ torso: { ...torso, ...change }, cap }, { 'resin-short': 1 });
    expect(told(after)).toEqual([`torso: ${text}`]);
  });

  test('a kit that is called otherwise, and parts by the names of what every object has', () => {
    expect(told({ ...before, kit: 'The Lamp' })).toEqual(['The Lamp: was The Lamplighter']);
    const odd = ledgerOf({ torso, cap, constructor: cap }, { 'resin-short': 1 });
    expect(told(odd)).toEqual(['constructor: new, 96.1 ml, 14.4 h']);
    expect(compareLedgers(odd, before).map(({ part }) => part)).toEqual(['constructor']);
    const opened = { ...torso, openings: { ...torso.openings, toString: 4 } } as LedgerPart;
    expect(told(ledgerOf({ torso: opened, cap }, { 'resin-short': 1 }))).toHaveLength(1);
  });

  test('parts that come and go, the kit itself, and what is new', () => {
    const after = ledgerOf({ torso, head: torso }, { 'resin-short': 1, 'file-missing': 1 });
    expect(told(after)).toEqual([
      'head: new, 96.1 ml, 14.4 h, new: sealed-cup (2), new: wall-thin',
      'cap: no longer in it',
      'The Lamplighter: new: file-missing',
    ]);
    expect(compareLedgers(before, after).map(({ newFindings }) => newFindings)).toEqual([
      ['sealed-cup', 'wall-thin'],
      [],
      ['file-missing'],
    ]);
  });
});
