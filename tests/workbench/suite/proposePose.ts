import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('propose a pose', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('the pose that is chosen is one edit of the turn, and undo takes it back', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    void vscode.commands.executeCommand('kitwright.proposePose', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    // Accepts the first of the list, as soon as there is one.
    await until('the edit', async () => {
      await vscode.commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
      return document.getText() === before ? null : document.getText();
    });
    const added = document
      .getText()
      .split('\n')
      .filter((line) => !before.split('\n').includes(line));
    assert.equal(added.length, 1, added.join('\n'));
    assert.match(added[0]!, /turn: \[-?\d+, -?\d+, \d+\]/);
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
