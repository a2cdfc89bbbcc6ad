import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('propose plates', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('puts them into the manifest as one edit, brings them into sight, and undo takes it back', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    void vscode.commands.executeCommand('kitwright.proposePlates', {
      kit: manifestUri().toString(),
      part: null,
    });
    await until('the edit', () => document.getText() !== before);
    assert.match(document.getText(), /^ {2}plate-1: \{ parts: \[/m);
    const plate = document.getText().indexOf('plate-1');
    await until('the plate in sight', () => {
      const editor = vscode.window.activeTextEditor;
      return editor?.document === document && document.offsetAt(editor.selection.start) >= plate;
    });
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
