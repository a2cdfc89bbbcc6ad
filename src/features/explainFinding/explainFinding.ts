import * as vscode from 'vscode';
import { type FindingCode, findingTable } from '../../core/kit/findingTable.ts';
import { commandIds } from '../../host/ids.ts';
import type { Services } from '../../host/services.ts';

/** Opens the README's section about a finding; asks which one when none is named. */
export function registerExplainFinding(services: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.explainFinding, async (argument: unknown) => {
    const code = isFindingCode(argument) ? argument : await askForCode();
    if (code !== undefined) await openSection(services, code);
  });
}

function isFindingCode(value: unknown): value is FindingCode {
  return typeof value === 'string' && Object.hasOwn(findingTable, value);
}

async function askForCode(): Promise<FindingCode | undefined> {
  const items = Object.entries(findingTable).map(([code, entry]) => ({
    label: code,
    detail: entry.title,
    code: code as FindingCode,
  }));
  const options = { title: 'Explain a finding', matchOnDetail: true };
  return (await vscode.window.showQuickPick(items, options))?.code;
}

async function openSection({ context, log }: Services, code: FindingCode): Promise<void> {
  const readme = vscode.Uri.joinPath(context.extensionUri, 'README.md').with({ fragment: code });
  try {
    await vscode.commands.executeCommand('markdown.showPreview', readme);
  } catch (error) {
    log.warn(`The Markdown preview is not available: ${error}`);
    await vscode.window.showTextDocument(readme.with({ fragment: '' }), { preview: true });
  }
}
