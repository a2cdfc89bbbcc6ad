import * as assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import * as vscode from 'vscode';
import { until, workspaceFolder } from './workspace.ts';

suite('The coupon', () => {
  test('is written beside the ready meshes', async () => {
    void vscode.commands.executeCommand('kitwright.writeCoupon');
    const file = vscode.Uri.joinPath(workspaceFolder(), 'lantern', 'ready', 'coupon.stl');
    await until('the coupon', async () => {
      const stat = await Promise.resolve(vscode.workspace.fs.stat(file)).catch(() => null);
      return stat !== null && stat.size > 84;
    });
    const bytes = await readFile(file.fsPath);
    assert.equal(bytes.length, 84 + 50 * bytes.readUInt32LE(80));
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
