import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('propose a pose', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('brings the turntable of the part in front, where one is chosen; the manifest waits for that', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    await vscode.commands.executeCommand('kitwright.proposePose', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    await until('the turntable in front', () => activeLabel() === 'Turntable: shade');
    assert.equal(document.getText(), before);
    assert.equal(document.isDirty, false);
  });
});

const activeLabel = (): string | undefined => vscode.window.tabGroups.activeTabGroup.activeTab?.label;
