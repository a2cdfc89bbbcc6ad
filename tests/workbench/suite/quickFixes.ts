import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, codeOf, codes, findings, openManifest, replaceText, until } from './workspace.ts';

/** The quick fix of that name at the finding of that code, once it is offered. */
async function fixAt(document: vscode.TextDocument, code: string, title: string): Promise<vscode.CodeAction> {
  return until(`“${title}”`, async () => {
    const finding = findings().find((one) => codeOf(one) === code);
    if (finding === undefined) return null;
    // Cancelled when the findings change meanwhile: asked again then.
    const actions = await vscode.commands
      .executeCommand<vscode.CodeAction[]>(
        'vscode.executeCodeActionProvider',
        document.uri,
        finding.range,
        vscode.CodeActionKind.QuickFix.value,
      )
      .then(undefined, () => []);
    return actions.find((action) => action.title === title);
  });
}

const run = ({ command }: vscode.CodeAction): Thenable<unknown> =>
  vscode.commands.executeCommand(command!.command, ...(command!.arguments ?? []));

const changed = (document: vscode.TextDocument, before: string): Promise<string> =>
  until('the edit', () => document.getText() !== before && document.getText());

suite('quick fixes that look first', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('a vent by a side wall moves to the nearest good place, and undo takes it back', async () => {
    const editor = await openManifest();
    const { document } = editor;
    const vents =
      'vents: [{ at: [-17, 0, -25], diameter: 8 }, { at: [10, 10, -25], diameter: 12 }, { at: [0, 0, 25], diameter: 8 }]';
    await replaceText(editor, 'vents: []', vents);
    const fix = await fixAt(document, 'opening-near-wall', 'Move the vent 0 to the nearest good place…');
    const before = document.getText();
    await run(fix);
    const after = await changed(document, before);
    const [, x] = /vents: \[\{ at: \[(-?[\d.]+), /.exec(after) ?? [];
    assert.ok(Number(x) > -15 && Number(x) < -13, after);
    assert.equal(after.replace(/(vents: \[\{ at: )\[[^\]]*\]/, '$1[-17, 0, -25]'), before);
    await until('the finding to go', () => !codes().includes('opening-near-wall'));
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });

  test('a wall that works is shown as a difference first, and nothing is changed before it is agreed to', async () => {
    const editor = await openManifest();
    const { document } = editor;
    await replaceText(editor, 'walll: 2 ', 'wall: 19.9 ');
    const fix = await fixAt(document, 'too-thin-to-hollow', 'Find a wall that works…');
    const before = document.getText();
    let over = false;
    const asked = run(fix).then(() => {
      over = true;
    });
    // Until the preview stands there is nothing to turn down.
    await until('the preview to be turned down', async () => {
      await vscode.commands.executeCommand('refactorPreview.discard').then(undefined, () => null);
      return over;
    });
    await asked;
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
