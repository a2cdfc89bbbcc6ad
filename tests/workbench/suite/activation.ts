import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { commandIds } from '../../../src/host/ids.ts';
import { closeAll } from './workspace.ts';

suite('activation', () => {
  suiteTeardown(closeAll);

  test('a workspace with a kit.yaml starts Kitwright', async () => {
    const extension = vscode.extensions.getExtension('kitwright.kitwright');
    assert.ok(extension, 'the extension is installed');
    await extension.activate();
    assert.equal(extension.isActive, true);
  });

  test('every command is registered', async () => {
    const registered = new Set(await vscode.commands.getCommands(true));
    for (const id of Object.values(commandIds)) assert.ok(registered.has(id), id);
  });

  test('the schema of the manifest is contributed and shipped', async () => {
    const extension = vscode.extensions.getExtension('kitwright.kitwright');
    assert.ok(extension);
    const [contribution] = extension.packageJSON.contributes.yamlValidation;
    assert.deepEqual(contribution.fileMatch, ['kit.yaml']);
    const uri = vscode.Uri.joinPath(extension.extensionUri, contribution.url);
    const schema = JSON.parse(new TextDecoder().decode(await vscode.workspace.fs.readFile(uri)));
    for (const key of ['kit', 'scale', 'machine', 'parts']) assert.ok(key in schema.properties, key);
  });
});
