import assert from 'node:assert/strict';
import * as vscode from 'vscode';

/** The fixture kit's manifest in the workspace that the suite was started with. */
export function manifestUri(): vscode.Uri {
  return vscode.Uri.joinPath(workspaceFolder(), 'lantern', 'kit.yaml');
}

export function workspaceFolder(): vscode.Uri {
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  assert.ok(folder, 'the suite needs a workspace folder');
  return folder.uri;
}

export async function openManifest(): Promise<vscode.TextEditor> {
  return vscode.window.showTextDocument(manifestUri(), { viewColumn: vscode.ViewColumn.One });
}

/** Puts the manifest back to what is on disk and closes every editor. */
export async function closeAll(): Promise<void> {
  const editor = await openManifest();
  if (editor.document.isDirty) await vscode.commands.executeCommand('workbench.action.files.revert');
  await vscode.commands.executeCommand('workbench.action.closeAllEditors');
}

export function findings(): vscode.Diagnostic[] {
  return vscode.languages.getDiagnostics(manifestUri()).filter(({ source }) => source === 'Kitwright');
}

export function codeOf(diagnostic: vscode.Diagnostic): string {
  const { code } = diagnostic;
  return typeof code === 'object' ? String(code.value) : String(code);
}

export function codes(): string[] {
  return findings().map(codeOf);
}

/** Waits until the probe gives a value; says what was seen last when it never does. */
export async function until<T>(
  what: string,
  probe: () => T | null | undefined | false | Promise<T | null | undefined | false>,
  timeoutMs = 30_000,
): Promise<T> {
  const deadline = Date.now() + timeoutMs;
  for (;;) {
    const value = await probe();
    if (value !== null && value !== undefined && value !== false) return value;
    if (Date.now() > deadline)
      assert.fail(`waited ${timeoutMs} ms for ${what}; findings: ${codes().join(', ')}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Replaces the first occurrence of a piece of the manifest, as typing would. */
export async function replaceText(editor: vscode.TextEditor, from: string, to: string): Promise<void> {
  const { document } = editor;
  const start = document.getText().indexOf(from);
  assert.ok(start >= 0, `the manifest has no “${from}”`);
  const range = new vscode.Range(document.positionAt(start), document.positionAt(start + from.length));
  assert.ok(await editor.edit((edit) => edit.replace(range, to)), 'the edit was applied');
}

export function positionOf(document: vscode.TextDocument, text: string, into = 0): vscode.Position {
  const start = document.getText().indexOf(text);
  assert.ok(start >= 0, `the manifest has no “${text}”`);
  return document.positionAt(start + into);
}
