import * as vscode from 'vscode';
import type { TextEdit } from '../core/kit/edits.ts';

/** Edits of a document's text, as VS Code takes them: one step of undo. */
export function workspaceEdit(
  document: vscode.TextDocument,
  edits: readonly TextEdit[],
): vscode.WorkspaceEdit {
  const edit = new vscode.WorkspaceEdit();
  for (const { start, end, newText } of edits) {
    const range = new vscode.Range(document.positionAt(start), document.positionAt(end));
    edit.replace(document.uri, range, newText);
  }
  return edit;
}
