import path from 'node:path';
import * as vscode from 'vscode';
import type { Kit } from './kits.ts';

const mostFiles = 500;

/** The STL files of a kit folder, relative to it, `/` separated; what Kitwright wrote itself left out. */
export async function partFiles(kit: Kit, token?: vscode.CancellationToken): Promise<string[]> {
  const pattern = new vscode.RelativePattern(vscode.Uri.file(kit.dir), '**/*.[sS][tT][lL]');
  const exclude = new vscode.RelativePattern(vscode.Uri.file(kit.dir), '{ready,.kitwright,node_modules}/**');
  const uris = await vscode.workspace.findFiles(pattern, exclude, mostFiles, token);
  return uris.map((uri) => path.relative(kit.dir, uri.fsPath).split(path.sep).join('/')).sort();
}
