import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until } from './workspace.ts';

suite('make ready', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('writes a part without errors', async () => {
    await openManifest();
    void vscode.commands.executeCommand('kitwright.makeReady', {
      kit: manifestUri().toString(),
      part: 'post',
    });
    const bytes = await until('ready/post.stl', () => readReady('post'));
    const triangles = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);
    assert.ok(triangles > 0);
    assert.equal(bytes.byteLength, 84 + 50 * triangles);
  });

  test('refuses a part with errors and leaves nothing behind', async () => {
    await openManifest();
    const command = vscode.commands.executeCommand('kitwright.makeReady', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    await Promise.race([command, new Promise((resolve) => setTimeout(resolve, 5_000))]);
    assert.equal(await readReady('shade'), null);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});

async function readReady(part: string): Promise<Uint8Array | null> {
  const uri = vscode.Uri.joinPath(manifestUri(), '..', 'ready', `${part}.stl`);
  try {
    return await vscode.workspace.fs.readFile(uri);
  } catch {
    return null;
  }
}
