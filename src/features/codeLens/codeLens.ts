import * as vscode from 'vscode';
import { onSetting, readConfig } from '../../host/config.ts';
import { toRange } from '../../host/diagnostics.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, settingIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { targetOf } from '../../host/kitTarget.ts';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { openingsOf, type PartSpan, partSpans } from '../../host/partSpans.ts';
import type { Services } from '../../host/services.ts';
import type { ShownFinding } from '../../host/shownFinding.ts';

/** Links above each part to the turntable and to make ready, and above a flagged opening to its flag. */
export function registerCodeLens(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const changed = disposables.add(new vscode.EventEmitter<void>());
  disposables.add(services.diagnostics.onDidChange(() => changed.fire()));
  disposables.add(onSetting(settingIds.codeLens, () => changed.fire()));
  const provider: vscode.CodeLensProvider = {
    onDidChangeCodeLenses: changed.event,
    provideCodeLenses(document) {
      const kit = services.kits.get(document.uri);
      if (kit === null || !readConfig().codeLens || kit.text !== document.getText()) return [];
      return lensesOf(services, kit, document);
    },
  };
  disposables.add(vscode.languages.registerCodeLensProvider(manifestSelector, provider));
  return disposables;
}

function lensesOf({ diagnostics }: Services, kit: Kit, document: vscode.TextDocument): vscode.CodeLens[] {
  const spans = partSpans(kit.parsed.tree);
  const openingLines = new Set(
    spans.flatMap((span) => openingsOf(span)).map(({ start }) => document.positionAt(start).line),
  );
  const flagged = diagnostics.of(kit).filter((finding) => openingLines.has(finding.range.start.line));
  return [...spans.flatMap((span) => partLenses(kit, document, span)), ...flagLenses(kit, flagged)];
}

function partLenses(kit: Kit, document: vscode.TextDocument, span: PartSpan): vscode.CodeLens[] {
  const range = new vscode.Range(document.positionAt(span.key.start), document.positionAt(span.key.end));
  const target = targetOf(kit, span.name);
  return [
    new vscode.CodeLens(range, {
      title: '$(eye) Show on turntable',
      command: commandIds.openTurntable,
      arguments: [target],
    }),
    new vscode.CodeLens(range, {
      title: 'Propose openings',
      command: commandIds.proposeOpenings,
      arguments: [target],
    }),
    new vscode.CodeLens(range, {
      title: 'Propose a pose',
      command: commandIds.proposePose,
      arguments: [target],
    }),
    new vscode.CodeLens(range, { title: 'Explain', command: commandIds.explainPart, arguments: [target] }),
    new vscode.CodeLens(range, { title: 'Make ready', command: commandIds.makeReady, arguments: [target] }),
  ];
}

/** One lens per line: the first flag there, so that a line with many findings stays readable. */
function flagLenses(kit: Kit, findings: readonly ShownFinding[]): vscode.CodeLens[] {
  const firstOfLine = new Map<number, ShownFinding>();
  for (const finding of findings) {
    const { line } = finding.range.start;
    if (finding.number !== null && !firstOfLine.has(line)) firstOfLine.set(line, finding);
  }
  return [...firstOfLine.values()].map(
    (finding) =>
      new vscode.CodeLens(toRange(finding), {
        title: `Show flag ${finding.number}`,
        command: commandIds.showFlag,
        arguments: [kit.uri.toString(), finding.number],
      }),
  );
}
