import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, replaceText, until, workspaceFolder } from './workspace.ts';

const target = () => ({ kit: manifestUri().toString(), part: null });
const kitDir = () => path.dirname(manifestUri().fsPath);
const ledgerFile = () => path.join(kitDir(), 'ledger.yaml');
const readLedger = () => (existsSync(ledgerFile()) ? readFileSync(ledgerFile(), 'utf8') : null);

suite('the kit as a whole', () => {
  setup(closeAll);
  suiteTeardown(async () => {
    await closeAll();
    rmSync(ledgerFile(), { force: true });
  });

  test('the view Parts opens, and a row leads to its part', async () => {
    await vscode.commands.executeCommand('kitwright.parts.focus');
    await vscode.commands.executeCommand('kitwright.goToPart', { ...target(), part: 'post' });
    await until('the part in sight', () => {
      const editor = vscode.window.activeTextEditor;
      return editor?.document.getText(editor.selection) === 'post';
    });
    await vscode.commands.executeCommand('workbench.view.explorer');
  });

  test('the whole kit opens beside the manifest, with the light surface of every part kept', async () => {
    await openManifest();
    await vscode.commands.executeCommand('kitwright.showKit', target());
    const tab = await until('its tab', () =>
      vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs).find(({ label }) => label === 'Kit: Lantern'),
    );
    assert.ok(tab.input instanceof vscode.TabInputWebview);
    const cache = path.join(kitDir(), '.kitwright', 'cache');
    const kept = () =>
      (existsSync(cache) ? readdirSync(cache) : []).filter((name) => name.startsWith('coarse-'));
    await until('its surfaces', () => kept().length === 2);
    await vscode.commands.executeCommand('kitwright.showKit', target());
    const all = vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs);
    assert.equal(all.filter(({ label }) => label === 'Kit: Lantern').length, 1);
  });

  test('a kit is started from a folder of STL files, and not a second time', async () => {
    const folder = vscode.Uri.joinPath(workspaceFolder(), 'fresh');
    mkdirSync(path.join(folder.fsPath, 'parts'), { recursive: true });
    const stl = path.join(kitDir(), 'parts', 'post.stl');
    copyFileSync(stl, path.join(folder.fsPath, 'parts', 'left arm.stl'));
    copyFileSync(stl, path.join(folder.fsPath, 'base.stl'));
    try {
      await vscode.commands.executeCommand('kitwright.startKit', folder);
      const manifest = vscode.Uri.joinPath(folder, 'kit.yaml');
      const text = await until('the manifest in the editor', () => {
        const document = vscode.window.activeTextEditor?.document;
        return document?.uri.toString() === manifest.toString() && document.getText();
      });
      assert.match(text, /^ {2}base:\n {4}file: base\.stl\n {2}left arm:\n {4}file: parts\/left arm\.stl$/m);
      const finding = await until('its finding', () =>
        vscode.languages.getDiagnostics(manifest).find(({ source }) => source === 'Kitwright'),
      );
      assert.match(finding.message, /gives no scale/);
      await vscode.commands.executeCommand('workbench.action.closeAllEditors');
      await vscode.commands.executeCommand('kitwright.startKit', folder);
      assert.equal(vscode.window.activeTextEditor?.document.getText(), text);
    } finally {
      await vscode.commands.executeCommand('workbench.action.closeAllEditors');
      rmSync(folder.fsPath, { recursive: true });
    }
  });

  test('the ledger is recorded, and compared with a revision as a document', async function () {
    this.timeout(240_000);
    const git = (...args: string[]) =>
      execFileSync('git', [
        '-C',
        kitDir(),
        '-c',
        'user.name=b',
        '-c',
        'user.email=b@example.invalid',
        ...args,
      ]);
    await vscode.commands.executeCommand('kitwright.record', target());
    const first = await until('the ledger', readLedger, 120_000);
    assert.match(first, /^ {2}post:$/m);
    git('init', '--quiet');
    git('add', 'ledger.yaml', 'kit.yaml');
    git('commit', '--quiet', '-m', 'as it was');
    try {
      const editor = await openManifest();
      await replaceText(editor, 'raise: 5\n    wall: solid', 'raise: 7\n    wall: solid');
      await editor.document.save();
      // Its answer waits for a button, which nobody presses.
      void vscode.commands.executeCommand('kitwright.record', target());
      await until('another ledger', () => readLedger() !== first, 120_000);
      await vscode.workspace
        .getConfiguration('git')
        .update('enabled', true, vscode.ConfigurationTarget.Global);
      await until('git', () => vscode.extensions.getExtension('vscode.git')?.exports?.enabled === true);
      void vscode.commands.executeCommand('kitwright.compare', target());
      // The first commit, then the ledger in the folder: each the first of its list.
      const document = await until(
        'the comparison',
        async () => {
          await vscode.commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
          return vscode.workspace.textDocuments.find(({ uri }) => uri.scheme === 'kitwright-changes');
        },
        60_000,
      );
      const text = document.getText();
      assert.match(text, /\(as it was\) to ledger/);
      assert.match(text, /^\| {2}\| layers 650 → 670 \|$/m);
    } finally {
      await vscode.workspace
        .getConfiguration('git')
        .update('enabled', false, vscode.ConfigurationTarget.Global);
      git('checkout', '--quiet', 'kit.yaml');
      rmSync(path.join(kitDir(), '.git'), { recursive: true });
      await vscode.commands.executeCommand('notifications.clearAll');
    }
  });
});
