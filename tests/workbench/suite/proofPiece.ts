import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until, workspaceFolder } from './workspace.ts';

suite('a proof piece', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('is written beside the ready meshes', async () => {
    await openManifest();
    void vscode.commands.executeCommand('kitwright.proofPiece', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    const file = vscode.Uri.joinPath(workspaceFolder(), 'lantern', 'ready', 'shade-proof.stl');
    await until('the file', async () => {
      const stat = await Promise.resolve(vscode.workspace.fs.stat(file)).catch(() => null);
      return stat !== null && stat.size > 84;
    });
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
