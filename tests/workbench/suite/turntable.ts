import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, positionOf, until, workspaceFolder } from './workspace.ts';

suite('turntable', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('opens beside the manifest, once per kit', async () => {
    await openManifest();
    const target = { kit: manifestUri().toString(), part: 'shade' };
    await vscode.commands.executeCommand('kitwright.openTurntable', target);
    await until('the panel', () => turntables().includes('Turntable: shade'));
    await vscode.commands.executeCommand('kitwright.openTurntable', { ...target, part: 'post' });
    await until('the other part', () => turntables().includes('Turntable: post'));
    assert.equal(turntables().length, 1);
  });

  test('follows the cursor from part to part', async () => {
    const editor = await openManifest();
    await vscode.commands.executeCommand('kitwright.openTurntable', {
      kit: manifestUri().toString(),
      part: 'shade',
    });
    await until('the panel', () => turntables().includes('Turntable: shade'));
    const inPost = positionOf(editor.document, 'parts/post.stl');
    editor.selection = new vscode.Selection(inPost, inPost);
    await until('the part of the cursor', () => turntables().includes('Turntable: post'));
  });

  test('shows an STL outside of any kit as an editor', async () => {
    const uri = vscode.Uri.joinPath(workspaceFolder(), 'loose.stl');
    await vscode.commands.executeCommand('vscode.open', uri);
    await until('the STL editor', () =>
      tabs().some(
        ({ input }) => input instanceof vscode.TabInputCustom && input.viewType === 'kitwright.stl',
      ),
    );
  });

  test('shows a part’s file from the Explorer on the kit’s turntable', async () => {
    const uri = vscode.Uri.joinPath(manifestUri(), '..', 'parts', 'post.stl');
    await vscode.commands.executeCommand('kitwright.showStl', uri);
    await until('the part', () => turntables().includes('Turntable: post'));
  });
});

function tabs(): vscode.Tab[] {
  return vscode.window.tabGroups.all.flatMap((group) => group.tabs);
}

function turntables(): string[] {
  const isTurntable = ({ input }: vscode.Tab) =>
    input instanceof vscode.TabInputWebview && input.viewType.endsWith('kitwright.turntable');
  return tabs()
    .filter(isTurntable)
    .map(({ label }) => label);
}
