import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { fixtureVents } from '../fixtureText.ts';
import { closeAll, codeOf, codes, findings, openManifest, replaceText, until } from './workspace.ts';

suite('findings', () => {
  suiteTeardown(closeAll);

  test('are in Problems before any editor is open', async () => {
    await until('the misspelt key', () => codes().includes('key-unknown'));
    await until('the closed chamber', () => codes().includes('chamber-without-opening'));
  });

  test('name their source, link to their explanation and have a narrow place', async () => {
    const editor = await openManifest();
    const finding = await until('the misspelt key', () =>
      findings().find((one) => codeOf(one) === 'key-unknown'),
    );
    assert.equal(editor.document.getText(finding.range), 'walll');
    assert.equal(finding.severity !== undefined && finding.source, 'Kitwright');
    assert.ok(typeof finding.code === 'object');
    assert.equal(finding.code.target.scheme, 'command');
    assert.equal(finding.code.target.path, 'kitwright.explainFinding');
  });

  test('carry the number of their flag, each once', async () => {
    await until('numbers', () => findings().every(({ message }) => /^\[\d+\] /.test(message)));
    const numbers = findings().map(({ message }) => message.split(']', 1)[0]);
    assert.equal(new Set(numbers).size, numbers.length);
  });

  test('of the text follow a keystroke without the engine', async () => {
    const editor = await openManifest();
    await replaceText(editor, 'height: 200', 'height: two');
    await until('the value that is no number', () => codes().includes('value-out-of-range'), 2_000);
    await vscode.commands.executeCommand('undo');
    await until('the value to be good again', () => !codes().includes('value-out-of-range'), 2_000);
  });

  test('go when a vent is drilled and return on undo', async () => {
    const editor = await openManifest();
    await until('the closed chamber', () => codes().includes('chamber-without-opening'));
    await replaceText(editor, 'vents: []', fixtureVents);
    await until('the chamber to be open', () => {
      const numbered = findings().every(({ message }) => /^\[\d+\] /.test(message));
      return numbered && !codes().includes('chamber-without-opening');
    });
    await vscode.commands.executeCommand('undo');
    await until('the chamber to be closed again', () => codes().includes('chamber-without-opening'));
  });

  test('of a broken text stand at the break', async () => {
    const editor = await openManifest();
    await replaceText(editor, 'parts:\n', 'parts: [\n');
    await until('the broken text', () => codes().includes('yaml-invalid'), 5_000);
    await vscode.commands.executeCommand('undo');
    await until('the text to be whole again', () => !codes().includes('yaml-invalid'), 5_000);
  });

  test('are cleared when the manifest is deleted', async () => {
    const editor = await openManifest();
    const uri = vscode.Uri.joinPath(editor.document.uri, '..', '..', 'gone', 'kit.yaml');
    await vscode.workspace.fs.writeFile(uri, new TextEncoder().encode('kit: Gone\nwal: 1\n'));
    await until('a finding in the second kit', () => vscode.languages.getDiagnostics(uri).length > 0);
    await vscode.workspace.fs.delete(vscode.Uri.joinPath(uri, '..'), { recursive: true });
    await until('no finding in the deleted kit', () => vscode.languages.getDiagnostics(uri).length === 0);
  });
});
