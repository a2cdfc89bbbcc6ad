import * as vscode from 'vscode';
import type { PartReport } from '../../core/kit/report.ts';
import { commandUri, flagged } from '../../host/diagnostics.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { targetOf } from '../../host/kitTarget.ts';
import type { ShownFinding } from '../../host/shownFinding.ts';

/** Only these commands may be run from a hover of Kitwright. */
const allowedCommands = [commandIds.openTurntable, commandIds.showFlag, commandIds.makeReady];

/** A part's figures, its flags and where to see it. */
export function partHover(kit: Kit, part: string, findings: readonly ShownFinding[]): vscode.MarkdownString {
  const markdown = new vscode.MarkdownString('', true);
  markdown.isTrusted = { enabledCommands: allowedCommands };
  markdown.appendMarkdown('**');
  markdown.appendText(part);
  markdown.appendMarkdown('**\n\n');
  const report = kit.report?.value.parts[part];
  if (report === undefined) markdown.appendText('Not computed yet.');
  else markdown.appendMarkdown(figureTable(report));
  if (report !== undefined && !kit.reportIsCurrent)
    markdown.appendMarkdown('\n\n*Figures of the last check.*');
  markdown.appendMarkdown(`\n\n${links(kit, part).join(' · ')}\n\n`);
  for (const finding of findings.filter((one) => one.part === part && one.number !== null)) {
    const uri = commandUri(commandIds.showFlag, [kit.uri.toString(), finding.number]);
    markdown.appendMarkdown(`[$(pinned) Flag ${finding.number}](${uri}) `);
    markdown.appendText(flagged(null, finding.message));
    markdown.appendMarkdown('\n\n');
  }
  return markdown;
}

function links(kit: Kit, part: string): string[] {
  const target = [targetOf(kit, part)];
  return [
    `[$(eye) Show on turntable](${commandUri(commandIds.openTurntable, target)})`,
    `[Make ready](${commandUri(commandIds.makeReady, target)})`,
  ];
}

function figureTable({ mesh, hollow, layers, print }: PartReport): string {
  const rows: [string, string][] = [
    ['Size', `${mesh.size_mm.map((length) => length.toFixed(1)).join(' × ')} mm`],
    ['Volume', `${mesh.volume_ml.toFixed(1)} ml`],
    [
      'Wall',
      hollow.wall_mm === null
        ? 'solid'
        : `${hollow.wall_mm} mm, ${plural(hollow.chambers.length, 'chamber')}`,
    ],
    ['Resin', `${print.resin_ml.toFixed(1)} ml cured, ${print.liquid_ml.toFixed(1)} ml from the bottle`],
    ['Mass', `${print.mass_g.toFixed(0)} g`],
    ['Time', `${print.hours.toFixed(1)} h, ${plural(layers.count, 'layer')}`],
    ['Greatest pull', `${print.peak_pull_n.toFixed(1)} N at layer ${print.peak_pull_layer}`],
  ];
  return ['| | |', '|---|---|', ...rows.map(([label, value]) => `| ${label} | ${value} |`)].join('\n');
}

function plural(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`;
}
