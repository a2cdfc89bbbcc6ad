import * as vscode from 'vscode';
import { type Fix, fixesFor } from '../../core/kit/fixes.ts';
import { diagnosticSource, flagged, toRange } from '../../host/diagnostics.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { targetOf } from '../../host/kitTarget.ts';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { partFiles } from '../../host/partFiles.ts';
import type { Services } from '../../host/services.ts';
import type { ShownFinding } from '../../host/shownFinding.ts';
import { workspaceEdit } from '../../host/workspaceEdit.ts';
import { registerFindRemedy } from './findRemedy.ts';

/**
 * Answers a finding by a small edit of the manifest; matched on its code, never on its words. What has to be
 * looked for first is a command.
 */
export function registerQuickFixes(services: Services): vscode.Disposable {
  const provider: vscode.CodeActionProvider = {
    async provideCodeActions(document, _range, context, token) {
      const kit = services.kits.get(document.uri);
      const asked = context.diagnostics.filter(({ source }) => source === diagnosticSource);
      if (kit === null || asked.length === 0) return [];
      const files = await partFiles(kit, token);
      if (token.isCancellationRequested || kit.text !== document.getText()) return [];
      const shown = services.diagnostics.of(kit);
      return asked.flatMap((diagnostic) => {
        const finding = shown.find((one) => isShownAs(one, diagnostic));
        return finding === undefined ? [] : actions(document, kit, finding, diagnostic, files);
      });
    },
  };
  const disposables = new Disposables();
  disposables.add(registerFindRemedy(services));
  disposables.add(
    vscode.languages.registerCodeActionsProvider(manifestSelector, provider, {
      providedCodeActionKinds: [vscode.CodeActionKind.QuickFix],
    }),
  );
  return disposables;
}

function isShownAs(finding: ShownFinding, diagnostic: vscode.Diagnostic): boolean {
  return (
    flagged(finding.number, finding.message) === diagnostic.message &&
    toRange(finding).isEqual(diagnostic.range)
  );
}

function actions(
  document: vscode.TextDocument,
  kit: Kit,
  finding: ShownFinding,
  diagnostic: vscode.Diagnostic,
  files: readonly string[],
): vscode.CodeAction[] {
  const { code, part, remedies } = finding;
  const offset = document.offsetAt(diagnostic.range.start);
  const fixes = fixesFor(
    kit.text,
    // Ids of openings in a finding of an older text may name others by now.
    { code, offset, part, remedies: kit.reportIsCurrent ? remedies : [] },
    { files },
  );
  return fixes.map((fix) => toAction(document, kit, fix, diagnostic));
}

function toAction(
  document: vscode.TextDocument,
  kit: Kit,
  fix: Fix,
  diagnostic: vscode.Diagnostic,
): vscode.CodeAction {
  const action = new vscode.CodeAction(fix.title, vscode.CodeActionKind.QuickFix);
  action.diagnostics = [diagnostic];
  action.isPreferred = fix.preferred;
  if (fix.asks !== undefined) {
    action.command = askingCommand(kit, fix.title, fix.asks);
    return action;
  }
  action.edit = workspaceEdit(document, fix.edits);
  return action;
}

function askingCommand(kit: Kit, title: string, { part, ask }: NonNullable<Fix['asks']>): vscode.Command {
  const target = targetOf(kit, part);
  switch (ask.kind) {
    case 'propose-openings':
      return { title, command: commandIds.proposeOpenings, arguments: [target] };
    case 'propose-pose':
      return { title, command: commandIds.proposePose, arguments: [target] };
    case 'propose-supports':
      return { title, command: commandIds.proposeSupports, arguments: [target] };
    case 'propose-split':
      return { title, command: commandIds.proposeSplit, arguments: [target] };
    default:
      return { title, command: commandIds.findRemedy, arguments: [target, ask] };
  }
}
