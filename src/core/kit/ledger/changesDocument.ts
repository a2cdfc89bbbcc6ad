import { escapeMarkdown } from '../../explain/escapeMarkdown.ts';
import { markdownTable } from '../../explain/markdownTable.ts';
import { roundTo } from '../rounding.ts';
import { plural } from '../rules/figures.ts';
import { compareLedgers } from './compareLedgers.ts';
import type { FindingCounts, Ledger, LedgerPart } from './ledger.ts';

/** How both sides are called in a sentence. */
export interface LedgerNames {
  readonly from: string;
  readonly to: string;
}

/** What one ledger says otherwise than another, as a Markdown document: a row for each change, then the kit's totals. */
export function changesDocument(before: Ledger, after: Ledger, { from, to }: LedgerNames): string {
  const changes = compareLedgers(before, after);
  const rows = changes.flatMap(({ part, changes: phrases }) =>
    phrases.map((phrase, at) => [at > 0 ? '' : escapeMarkdown(part ?? 'the kit'), escapeMarkdown(phrase)]),
  );
  const sides = `From ${escapeMarkdown(from)} to ${escapeMarkdown(to)}.`;
  const whole = [`# What changed in ${escapeMarkdown(after.kit)}`, sides];
  if (rows.length === 0) return [...whole, 'No figure and no decision differs.', ''].join('\n\n');
  const parts = changes.filter(({ part }) => part !== null).length;
  return [
    ...whole,
    `## ${plural(parts, 'part')} changed`,
    markdownTable(['part', 'change'], rows),
    '## The kit as a whole',
    markdownTable(['', 'before', 'after', 'change'], totals(before, after)),
    '',
  ].join('\n\n');
}

function totals(before: Ledger, after: Ledger): string[][] {
  const sum = (ledger: Ledger, of: (part: LedgerPart) => number): number =>
    Object.values(ledger.parts).reduce((all, part) => all + of(part), 0);
  const row = (name: string, unit: string, of: (ledger: Ledger) => number): string[] => {
    const [was, now] = [roundTo(of(before), 1), roundTo(of(after), 1)];
    const change = roundTo(now - was, 1);
    const by = change === 0 ? '' : `${change > 0 ? '+' : '−'}${Math.abs(change)}`;
    return [name, ...[was, now].map(String), by].map((text, at) =>
      at === 0 || text === '' || unit === '' ? text : `${text} ${unit}`,
    );
  };
  return [
    row('parts', '', (ledger) => Object.keys(ledger.parts).length),
    row('resin', 'ml', (ledger) => sum(ledger, ({ liquid_ml }) => liquid_ml)),
    row('weight', 'g', (ledger) => sum(ledger, ({ mass_g }) => mass_g)),
    row('print, part after part', 'h', (ledger) => sum(ledger, ({ hours }) => hours)),
    row(
      'findings',
      '',
      (ledger) => sum(ledger, ({ findings }) => counted(findings)) + counted(ledger.findings),
    ),
  ];
}

const counted = (findings: FindingCounts): number =>
  Object.values(findings).reduce((all: number, count) => all + (count ?? 0), 0);
