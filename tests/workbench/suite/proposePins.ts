import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { closeAll, manifestUri, openManifest, replaceText, until } from './workspace.ts';

suite('propose pins', () => {
  setup(closeAll);
  suiteTeardown(closeAll);

  test('puts a hole into both parts as one edit, and undo takes it back', async () => {
    const editor = await openManifest();
    const { document } = editor;
    const parts = 'parts:\n';
    const pinned = 'joints:\n  lid: { parts: [shade, knob], pin: { metal: steel, diameter: 2, depth: 5 } }\n';
    await replaceText(editor, parts, `${pinned}parts:\n  knob: { file: parts/knob.stl, wall: solid }\n`);
    const before = document.getText();
    void vscode.commands.executeCommand('kitwright.proposePins', {
      kit: manifestUri().toString(),
      part: null,
    });
    await until('the edit', () => document.getText() !== before);
    const tubesOf = (name: string) =>
      parseManifest(document.getText())
        .manifest!.parts.find((part) => part.name === name)!
        .openings.filter(({ kind }) => kind === 'tube');
    const [[hole, ...more], [other]] = [tubesOf('shade'), tubesOf('knob')];
    assert.equal(more.length, 0);
    // From the top of the block down and from the knob's underside up, on one line: 5 mm of rod and 0.5 for glue.
    assert.deepEqual([hole?.diameter, hole?.depth, hole?.at[2]], [2.15, 5.5, 25]);
    assert.deepEqual([other?.diameter, other?.depth, other?.at], [2.15, 5.5, hole?.at]);
    assert.deepEqual(
      [hole?.toward, other?.toward],
      [
        [0, 0, -1],
        [0, 0, 1],
      ],
    );
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
    await vscode.commands.executeCommand('notifications.clearAll');
  });
});
