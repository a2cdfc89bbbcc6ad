import * as vscode from 'vscode';
import type { SourceRange } from '../core/kit/manifest.ts';
import type { Kit } from './kits.ts';

/** Selects the place in the manifest, in the editor that shows it already, else beside the turntable. */
export async function revealManifest(kit: Kit, selection: vscode.Range): Promise<void> {
  const uri = kit.uri.toString();
  const editor = vscode.window.visibleTextEditors.find((visible) => visible.document.uri.toString() === uri);
  const viewColumn = editor?.viewColumn ?? vscode.ViewColumn.One;
  await vscode.window.showTextDocument(kit.uri, { selection, viewColumn });
}

export function toVsCodeRange(range: SourceRange): vscode.Range {
  return new vscode.Range(range.line - 1, range.column - 1, range.endLine - 1, range.endColumn - 1);
}
