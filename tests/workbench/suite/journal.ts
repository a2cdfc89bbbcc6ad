import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, manifestUri, openManifest, until, workspaceFolder } from './workspace.ts';

const journal = (): vscode.Uri => vscode.Uri.joinPath(workspaceFolder(), 'lantern', 'journal.yaml');
const read = async (): Promise<string> =>
  Buffer.from(await vscode.workspace.fs.readFile(journal())).toString('utf8');
const target = () => ({ kit: manifestUri().toString(), part: 'post' });

/** Takes what a quick input offers first, as often as there is one, until the probe is satisfied. */
async function acceptUntil(what: string, probe: () => Promise<boolean>): Promise<void> {
  await until(what, async () => {
    if (await probe()) return true;
    await vscode.commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
    await new Promise((resolve) => setTimeout(resolve, 300));
    return false;
  });
}

suite('the journal', () => {
  setup(closeAll);
  teardown(async () => {
    await Promise.resolve(vscode.workspace.fs.delete(journal())).catch(() => undefined);
    await closeAll();
  });

  test('takes a print by questions in order, and the next one behind it', async () => {
    await openManifest();
    const ask = vscode.commands.executeCommand('kitwright.logPrint', target());
    const isThere = async () => (await read().catch(() => '')).includes('part: post');
    await acceptUntil('a print in the journal', isThere);
    const first = await read();
    assert.match(first, /- part: post\n {2}date: "\d{4}-\d{2}-\d{2}"\n {2}result: good\n {2}settings:/);
    assert.match(first, /raise_mm: 5/);
    await vscode.commands.executeCommand('notifications.clearAll');
    await ask;
    const again = vscode.commands.executeCommand('kitwright.logPrint', target());
    await acceptUntil('a second print', async () => (await read()).length > first.length);
    assert.ok((await read()).startsWith(first));
    await vscode.commands.executeCommand('notifications.clearAll');
    await again;
  });

  test('left without an answer logs nothing', async () => {
    await openManifest();
    const ask = vscode.commands.executeCommand('kitwright.logPrint', target());
    let done = false;
    void Promise.resolve(ask).then(() => {
      done = true;
    });
    await until('the questions to end', async () => {
      await vscode.commands.executeCommand('workbench.action.closeQuickOpen');
      return done;
    });
    await assert.rejects(read());
  });

  test('offers a number that three prints give, which is one edit when it is taken and undone', async () => {
    const { document } = await openManifest();
    const before = document.getText();
    const entry = `- { part: post, date: 2026-11-03, result: good, figures: { size_mm: [10, 10, 10], layers: 9, liquid_ml: 1, hours: 1, peel_kpa: 10, peak: { layer: 0, pull_n: 4, area_mm2: 400 }, weakest: { layer: 0, pull_n: 4, area_mm2: 400, holds: 0.8 } } }\n`;
    await vscode.workspace.fs.writeFile(journal(), Buffer.from(entry.repeat(3)));
    void vscode.commands.executeCommand('kitwright.askJournal', target());
    // The last line of the list is the one that offers the number; only that one changes the manifest.
    await until('the number in the manifest', async () => {
      if (document.getText() !== before) return true;
      await new Promise((resolve) => setTimeout(resolve, 3_000));
      await vscode.commands.executeCommand('workbench.action.quickOpenSelectPrevious');
      await new Promise((resolve) => setTimeout(resolve, 300));
      await vscode.commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
      await new Promise((resolve) => setTimeout(resolve, 500));
      if (document.getText() === before)
        void vscode.commands.executeCommand('kitwright.askJournal', target());
      return false;
    });
    assert.match(document.getText(), /film:\n {2}peel: 8\n/);
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
  });
});
