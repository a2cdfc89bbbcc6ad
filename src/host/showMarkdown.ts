import * as vscode from 'vscode';
import type { Services } from './services.ts';

/** A document as rendered Markdown; as text where the workbench has no preview. */
export async function showMarkdown({ log }: Pick<Services, 'log'>, uri: vscode.Uri): Promise<void> {
  try {
    await vscode.commands.executeCommand('markdown.showPreview', uri);
  } catch (error) {
    log.warn(`The Markdown preview is not available: ${error}`);
    await vscode.window.showTextDocument(uri, { preview: true });
  }
}
