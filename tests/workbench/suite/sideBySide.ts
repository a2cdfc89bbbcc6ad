import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, replaceText, until, workspaceFolder } from './workspace.ts';

const kitDir = () => path.dirname(manifestUri().fsPath);
const ledgerFile = () => path.join(kitDir(), 'ledger.yaml');
const readLedger = () => (existsSync(ledgerFile()) ? readFileSync(ledgerFile(), 'utf8') : null);
const target = () => ({ kit: manifestUri().toString(), part: null });
const git = (...args: string[]) =>
  execFileSync('git', ['-C', kitDir(), '-c', 'user.name=b', '-c', 'user.email=b@example.invalid', ...args], {
    encoding: 'utf8',
  }).trim();
const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map((tab) => ({ group, tab })));

/** Part folders, each with what was taken out of git for a revision. */
const scratch = (): string[] =>
  readdirSync(os.tmpdir())
    .filter((name) => name.startsWith('kitwright-revisions-'))
    .map((name) => path.join(os.tmpdir(), name))
    .flatMap((root) => readdirSync(root).map((name) => path.join(root, name)));

suite('two revisions of a part side by side', () => {
  setup(closeAll);

  test('the mesh of the earlier one comes out of git, and goes when the pair is closed', async function () {
    this.timeout(300_000);
    const mesh = path.join(kitDir(), 'parts', 'post.stl');
    const kept = path.join(workspaceFolder().fsPath, 'post-as-it-was.stl');
    copyFileSync(mesh, kept);
    const left = scratch();
    // Both parts lie at one origin: what a joint is told at would else change with the other part.
    const apart = await openManifest();
    await replaceText(apart, 'parts:\n', 'assembled: no\nparts:\n');
    await apart.document.save();
    await vscode.commands.executeCommand('kitwright.record', target());
    const first = await until('the ledger', readLedger, 120_000);
    git('init', '--quiet');
    git('add', 'ledger.yaml', 'kit.yaml', 'parts');
    git('commit', '--quiet', '-m', 'as it was');
    const earlier = git('rev-parse', 'HEAD').slice(0, 8);
    try {
      // Another sculpt, and another decision; the lamp's shade stays.
      copyFileSync(path.join(workspaceFolder().fsPath, 'loose.stl'), mesh);
      const editor = await openManifest();
      await replaceText(editor, 'raise: 5\n    wall: solid', 'raise: 7\n    wall: solid');
      await editor.document.save();
      void vscode.commands.executeCommand('kitwright.record', target());
      await until('another ledger', () => readLedger() !== first, 120_000);
      await vscode.workspace
        .getConfiguration('git')
        .update('enabled', true, vscode.ConfigurationTarget.Global);
      await until('git', () => vscode.extensions.getExtension('vscode.git')?.exports?.enabled === true);
      void vscode.commands.executeCommand('kitwright.showBoth', target());
      // The first commit, then what lies in the folder: each the first of its list. One part changed: it is not asked for.
      const both = await until(
        'both turntables',
        async () => {
          await vscode.commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
          const pair = tabs().filter(({ tab }) => tab.label.startsWith('post: '));
          return pair.length === 2 && pair;
        },
        60_000,
      );
      assert.deepEqual(
        both.map(({ tab }) => tab.label),
        [`post: ${earlier}`, 'post: in the folder'],
      );
      const [before, after] = both.map(({ group }) => group.viewColumn) as [number, number];
      assert.ok(before < after, 'the earlier one is on the left');
      const [folder] = await until('its mesh', () => {
        const made = scratch().filter((one) => !left.includes(one));
        return made.length === 1 && existsSync(path.join(made[0]!, '.kitwright', 'cache')) && made;
      });
      assert.deepEqual(readFileSync(path.join(folder!, 'parts', 'post.stl')), readFileSync(kept));
      assert.equal(git('status', '--porcelain', 'kit.yaml'), 'M kit.yaml');
      // Closing one closes the other.
      await vscode.window.tabGroups.close(both[1]!.tab);
      await until('the other closed', () => tabs().every(({ tab }) => !tab.label.startsWith('post: ')));
      await until('the copy gone', () => !existsSync(path.join(folder!, 'parts')));
    } finally {
      await vscode.workspace
        .getConfiguration('git')
        .update('enabled', false, vscode.ConfigurationTarget.Global);
      git('checkout', '--quiet', 'kit.yaml');
      copyFileSync(kept, mesh);
      for (const file of [kept, ledgerFile(), path.join(kitDir(), '.git')])
        rmSync(file, { recursive: true, force: true });
      await vscode.commands.executeCommand('notifications.clearAll');
      await closeAll();
    }
  });
});
