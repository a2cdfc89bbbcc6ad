import * as vscode from 'vscode';
import { splitEdits } from '../../core/cut/splitEdits.ts';
import { type SplitProposalReport, type SplitReport, splitProposalText } from '../../core/cut/splitReport.ts';
import { parseManifest } from '../../core/kit/parseManifest.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import { workspaceEdit } from '../../host/workspaceEdit.ts';

/** Cuts for a part that does not fit, to choose from; the chosen one is one edit, which an undo takes back. */
export function registerProposeSplit(services: Services): vscode.Disposable {
  return registerPartCommand(services, commandIds.proposeSplit, 'Split which part?', (kit, part) =>
    propose(services, kit, part),
  );
}

async function propose(services: Services, kit: Kit, part: string): Promise<void> {
  const splits = await askEngine(services, kit, `Proposing a split of ${part}`, (signal, onProgress) =>
    services.engine.call(
      'proposeSplit',
      { ...kit.source, parts: [part], write: false, noCache: false },
      { signal, onProgress },
    ),
  );
  for (const { message } of splits?.failed ?? []) void vscode.window.showErrorMessage(`${part}: ${message}`);
  const report = splits?.parts[part];
  if (report !== undefined) await choose(services, kit, part, report);
}

interface SplitItem extends vscode.QuickPickItem {
  readonly split: SplitReport;
}

async function choose(
  { kits, log }: Services,
  kit: Kit,
  part: string,
  report: SplitProposalReport,
): Promise<void> {
  log.info(splitProposalText(part, report));
  if (report.splits.length === 0) {
    void vscode.window.showInformationMessage(splitProposalText(part, report));
    return;
  }
  const picked = await vscode.window.showQuickPick(report.splits.map(itemOf), {
    title: `A cut for ${part}: ${report.compared} planes compared`,
    placeHolder: 'Which one goes into kit.yaml?',
  });
  if (picked === undefined) return;
  // The text may have changed while the list was open; what stands there now is edited.
  const document = await vscode.workspace.openTextDocument(kit.uri);
  const text = document.getText();
  const { manifest } = parseManifest(text);
  const now = manifest?.parts.find(({ name }) => name === part);
  const factor = manifest?.scale.factor ?? null;
  const edit =
    manifest == null || now === undefined || factor === null
      ? null
      : splitEdits(text, now, picked.split, manifest, factor);
  if (edit === null) {
    void vscode.window.showWarningMessage(
      `${part} is no longer in kit.yaml, or cannot be edited there by itself.`,
    );
    return;
  }
  await vscode.workspace.applyEdit(workspaceEdit(document, edit.edits));
  kits.hurry(kit);
}

const itemOf = (split: SplitReport, n: number): SplitItem => ({
  label: `${n + 1}  through [${split.at.join(', ')}] toward [${split.toward.join(', ')}]`,
  description: split.fits
    ? split.fits_held
      ? ''
      : 'no room for supports of a half'
    : 'a half still does not fit',
  detail: split.why,
  split,
});
