import { expect, it } from 'vitest';
import { changesDocument } from '../../../src/core/kit/ledger/changesDocument.ts';
import type { Ledger, LedgerPart } from '../../../src/core/kit/ledger/ledger.ts';

const torso: LedgerPart = {
  stl: 'a'.repeat(64),
  decisions: '0123456789abcdef',
  size_mm: [106.1, 81, 197],
  wall_mm: 1.5,
  openings: { 'vents/0': 8 },
  resin: 'slate',
  liquid_ml: 96.1,
  mass_g: 84.3,
  hours: 14.4,
  layers: 3895,
  pull_n: 41,
  suction_n: 35.2,
  trapped_ml: 0,
  supports: null,
  findings: { 'sealed-cup': 2 },
};
const ledgerOf = (parts: Ledger['parts'], findings: Ledger['findings'] = {}): Ledger => ({
  kit: 'The Lamplighter',
  parts,
  findings,
});
const names = { from: 'v1', to: 'ledger.yaml' };

it('has a row for each change, the part named once, and the totals', () => {
  const before = ledgerOf({ torso, cap: torso }, { 'resin-short': 1 });
  const after = ledgerOf({
    torso: { ...torso, openings: { 'vents/0': 11 }, pull_n: 9, liquid_ml: 93.1, findings: {} },
    cap: torso,
  });
  const document = changesDocument(before, after, names);
  expect(document).toContain('From v1 to ledger\\.yaml.');
  expect(document).toContain(
    [
      '## 1 part changed',
      '',
      '| part | change |',
      '| --- | --- |',
      '| torso | vent 0 8 → 11 mm |',
      '|  | worst pull 41 → 9 N |',
      '|  | resin −3 ml |',
      '|  | no more sealed-cup |',
      '| the kit | no more resin-short |',
    ].join('\n'),
  );
  // By hand: 2 · 96.1 and 96.1 + 93.1 ml; 2 · 84.3 g; 2 · 14.4 h; 2 · 2 + 1 and 2 findings.
  expect(document).toContain('| resin | 192.2 ml | 189.2 ml | −3 ml |');
  expect(document).toContain('| weight | 168.6 g | 168.6 g |  |');
  expect(document).toContain('| print, part after part | 28.8 h | 28.8 h |  |');
  expect(document).toContain('| findings | 5 | 2 | −3 |');
});

it('says so when nothing differs', () => {
  const same = ledgerOf({ torso });
  expect(changesDocument(same, same, names)).toContain('No figure and no decision differs.');
});

it('shows names as text, whatever they are', () => {
  const odd = ledgerOf({ 'a | [b](x)': torso });
  const document = changesDocument(ledgerOf({}), odd, { from: '<img>', to: '`' });
  expect(document).toContain('| a \\| \\[b\\](x) | new, 96.1 ml, 14.4 h |');
  expect(document).toContain('From \\<img\\> to \\`.');
});
