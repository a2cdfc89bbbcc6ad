import type { Finding } from '../kit/finding.ts';
import { findingTable } from '../kit/findingTable.ts';
import { tally } from '../kit/formatFinding.ts';
import { lightCaution } from '../kit/lightCaution.ts';
import type { Assumption, Manifest, Part } from '../kit/manifest.ts';
import type { PartReport } from '../kit/report.ts';
import { figure, plural } from '../kit/rules/figures.ts';
import type { PartLoads } from '../physics/partLoads.ts';
import { type ChangeEffect, changesAnything } from './changeEffects.ts';
import { escapeMarkdown } from './escapeMarkdown.ts';
import { graphsByLayer } from './graphsByLayer.ts';
import type { LimitUse } from './limitUses.ts';
import { markdownTable } from './markdownTable.ts';
import { partFigures } from './partFigures.ts';
import type { Verdict } from './verdict.ts';

export interface PartToExplain {
  readonly manifest: Manifest;
  readonly part: Part;
  readonly report: PartReport;
  readonly loads: PartLoads;
  /** Of this part. */
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
  readonly verdict: Verdict;
  /** The strongest first. */
  readonly effects: readonly ChangeEffect[];
  /** Changes that were not tried; a phrase each. */
  readonly notTried: readonly string[];
}

/**
 * One part as a Markdown document: what the check makes of it, its figures, its curves by layer, each
 * finding with its reason, what would change the verdict most, and what all of that assumes. Names are
 * escaped; pictures are part of the text.
 */
export function explainPart(explained: PartToExplain): string {
  const { manifest, part } = explained;
  return [
    `# ${escapeMarkdown(part.name)}`,
    `Part of ${escapeMarkdown(manifest.kit)}, ${escapeMarkdown(part.file ?? 'no file')}. ${summary(explained)}`,
    '## Figures',
    markdownTable(['', ''], partFigures(explained.report)),
    '## By layer',
    graphsByLayer(explained.loads, manifest.machine.layer, manifest.limits.pull),
    '## Findings',
    ...findingTexts(explained.findings),
    ...lightTexts(explained),
    '## What would change the verdict most',
    ...effectTexts(explained),
    '## Assumed',
    'Every default that was used and every choice of the model, with its source. What you set in the manifest is not listed.',
    assumptionTable(explained),
    'Figures of a model, not of your machine: calibrate `film.peel`, and measure your resin, before you trust them. Uncured resin and solvent are harmful; their safety data sheets decide how to handle them.',
    '',
  ].join('\n\n');
}

function summary({ findings, verdict }: PartToExplain): string {
  const worst = verdict.uses[0];
  const told = findings.length === 0 ? '**Nothing found.**' : `**${tally(findings)}.**`;
  if (worst === undefined || worst.severity === 'info') return told;
  if (worst.severity === null) return `${told} Nearest to a limit: ${useText(worst)}.`;
  return `${told} Worst: \`${worst.code}\`, ${useText(worst)}.`;
}

/** `34 layers where 20 layers are the limit (1.7 times)`. */
function useText({ code, severity, measured, limit, unit, share }: LimitUse): string {
  const title = escapeMarkdown(findingTable[code].title.replace(/\.$/, ''));
  if (measured === null || limit === null) return title;
  const against = `${figure(measured, unit)} against ${figure(limit, unit)}`;
  return severity === null
    ? `\`${code}\`, ${against}, ${Math.round(100 * share)} % of it`
    : `${against}${timesText(share)}`;
}

const timesText = (share: number): string =>
  share >= 1000 ? ', far beyond it' : `, ${share.toFixed(share < 10 ? 1 : 0)} times`;

function findingTexts(findings: readonly Finding[]): string[] {
  if (findings.length === 0) return ['None.'];
  return findings.map((finding) => {
    const { severity, code, file, line, message, measured, limit, unit, at } = finding;
    const { title, basis } = findingTable[code];
    const figures = [
      measured === null ? null : `measured ${measured} ${unit ?? ''}`.trim(),
      limit === null ? null : `limit ${limit} ${unit ?? ''}`.trim(),
      at === null ? null : `at ${at.join(', ')} mm in print`,
    ].filter((text) => text !== null);
    return [
      `### ${severity} \`${code}\` (${escapeMarkdown(file)}, line ${line})`,
      escapeMarkdown(message),
      [
        `- Why: ${escapeMarkdown(title)}`,
        ...(figures.length === 0 ? [] : [`- Figures: ${escapeMarkdown(figures.join('; '))}.`]),
        `- Basis: ${escapeMarkdown(basis)}.`,
      ].join('\n'),
    ].join('\n\n');
  });
}

/** What is cut through it for wires and fibres, and the caution that goes with that. */
function lightTexts({ manifest, part }: PartToExplain): string[] {
  const own = manifest.lights.filter(({ name }) => part.lights.some((light) => light.name === name));
  if (own.length === 0) return [];
  const lines = own.map(({ name, diameter, lining, through }) => {
    const others = through.filter((other) => other.part !== part.name).map((other) => other.part);
    const also = others.length === 0 ? '' : `; also through ${escapeMarkdown(others.join(', '))}`;
    return `- ${escapeMarkdown(name)}: a tube of ${figure(diameter, 'mm')}, lined with ${figure(lining, 'mm')} where it crosses a hollow${also}.`;
  });
  return ['## Light', lines.join('\n'), lightCaution];
}

function effectTexts({ verdict, effects, notTried }: PartToExplain): string[] {
  const worst = verdict.uses[0];
  const strong = effects.filter((effect) => changesAnything(verdict, effect));
  const weak = effects.filter((effect) => !strong.includes(effect));
  const heads = [
    'Change',
    worst === undefined ? 'Worst' : `\`${worst.code}\``,
    'Errors',
    'Warnings',
    'Greatest pull',
    'Greatest suction of a cup',
  ];
  const row = (what: string, use: string, { errors, warnings, peakPullN, peakSuctionN }: Verdict) => [
    escapeMarkdown(what),
    use,
    String(errors),
    String(warnings),
    figure(peakPullN, 'N'),
    figure(peakSuctionN, 'N'),
  ];
  const rows = strong.map((effect) => row(effect.what, effectText(worst, effect.worst), effect.after));
  return [
    'Each change was tried by itself: the part was measured and judged again with it. The first row is the part as it stands. The order goes by what a change does to the worst limit.',
    markdownTable(heads, [
      row('as it stands', worst === undefined ? 'none' : shareText(worst), verdict),
      ...rows,
    ]),
    ...(weak.length === 0 ? [] : [`No effect: ${escapeMarkdown(weak.map(({ what }) => what).join('; '))}.`]),
    ...(notTried.length === 0
      ? []
      : [
          `Not tried, because the part is too large to hollow it again for a question: ${escapeMarkdown(notTried.join('; '))}.`,
        ]),
  ];
}

const effectText = (before: LimitUse | undefined, after: LimitUse | null): string =>
  before === undefined ? 'none' : after === null ? 'gone' : shareText(after);

/** `34 of 20 layers`. */
function shareText({ measured, limit, unit, severity }: LimitUse): string {
  if (measured === null || limit === null) return 'found';
  const figures = `${figure(measured, '').trim()} of ${figure(limit, unit)}`;
  return severity === null ? `within: ${figures}` : figures;
}

/** What holds for this part: not what other parts or resins assume. */
function assumptionTable({ manifest, part, assumptions }: PartToExplain): string {
  const others = [
    ...manifest.parts.filter(({ name }) => name !== part.name).map(({ name }) => `parts.${name}.`),
    ...[...manifest.resins.keys()].filter((name) => name !== part.resin).map((name) => `resins.${name}.`),
  ];
  const own = assumptions.filter(({ key }) => !others.some((start) => key.startsWith(start)));
  const rows = own.map(({ key, value, unit, basis }) => [
    escapeMarkdown(key),
    escapeMarkdown(`${value} ${unit === '1' ? '' : unit}`.trim()),
    escapeMarkdown(basis),
  ]);
  return `${markdownTable(['What', 'Value', 'Source'], rows)}\n\n${plural(own.length, 'assumption')}.`;
}
