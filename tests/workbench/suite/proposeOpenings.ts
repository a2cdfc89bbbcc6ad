import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('propose openings', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('puts them into the manifest as one edit, and undo takes it back', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    void vscode.commands.executeCommand('kitwright.proposeOpenings', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    await until('the edit', async () => (document.getText() === before ? null : document.getText()));
    const added = document
      .getText()
      .split('\n')
      .filter((line) => !before.split('\n').includes(line));
    assert.ok(
      added.some((line) => /at: \[.*\], diameter: \d+/.test(line)),
      added.join('\n'),
    );
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
