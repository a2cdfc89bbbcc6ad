import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('resin and time', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('opens as a document that cannot be edited, made again when it is asked for', async () => {
    await openManifest();
    await vscode.commands.executeCommand('kitwright.schedule', { kit: manifestUri().toString(), part: null });
    const uri = vscode.Uri.from({
      scheme: 'kitwright-schedule',
      path: '/resin and time.md',
      query: manifestUri().toString(),
    });
    await until('the preview', () =>
      vscode.window.tabGroups.all.some(({ tabs }) =>
        tabs.some(({ label }) => label.includes('resin and time')),
      ),
    );
    const document = await vscode.workspace.openTextDocument(uri);
    assert.match(document.getText(), /^# Resin and time: /);
    assert.match(document.getText(), /\| Print \| Resin \| Start \|/);
    assert.equal(vscode.workspace.fs.isWritableFileSystem(uri.scheme) ?? false, false);
  });
});
