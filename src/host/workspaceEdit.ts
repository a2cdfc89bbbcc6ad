import * as vscode from 'vscode';
import type { TextEdit } from '../core/kit/edits.ts';

/** Edits of a document's text, as VS Code takes them: one step of undo. With `toConfirm` it shows them under those words first. */
export function workspaceEdit(
  document: vscode.TextDocument,
  edits: readonly TextEdit[],
  toConfirm?: string,
): vscode.WorkspaceEdit {
  const edit = new vscode.WorkspaceEdit();
  const metadata = toConfirm === undefined ? undefined : { needsConfirmation: true, label: toConfirm };
  for (const { start, end, newText } of edits) {
    const range = new vscode.Range(document.positionAt(start), document.positionAt(end));
    edit.replace(document.uri, range, newText, metadata);
  }
  return edit;
}
