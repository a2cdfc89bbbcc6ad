import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('propose supports', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('plans them in the manifest as one edit, which undo takes back', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    void vscode.commands.executeCommand('kitwright.proposeSupports', {
      kit: manifestUri().toString(),
      part: 'post',
    });
    await until('the manifest changed', () => document.getText() !== before);
    const added = document
      .getText()
      .split('\n')
      .filter((line) => !before.split('\n').includes(line));
    assert.deepEqual(added, ['    supports: planned']);
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
