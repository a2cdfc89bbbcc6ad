import assert from 'node:assert/strict';
import * as vscode from 'vscode';
import { closeAll, codes, openManifest, positionOf, replaceText, until } from './workspace.ts';

suite('the manifest in the editor', () => {
  suiteTeardown(closeAll);

  test('a quick fix changes the word and keeps every comment', async () => {
    const editor = await openManifest();
    const { document } = editor;
    await until('the misspelt key', () => codes().includes('key-unknown'));
    const position = positionOf(document, 'walll', 1);
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      'vscode.executeCodeActionProvider',
      document.uri,
      new vscode.Range(position, position),
      vscode.CodeActionKind.QuickFix.value,
    );
    const fix = actions.find((action) => action.isPreferred && action.edit !== undefined);
    assert.ok(fix?.edit, `a preferred fix among: ${actions.map(({ title }) => title).join(', ')}`);
    const before = document.getText();
    assert.ok(await vscode.workspace.applyEdit(fix.edit));
    assert.equal(document.getText().replace('wall: 2 ', 'walll: 2 '), before);
    await until('the finding to go', () => !codes().includes('key-unknown'), 5_000);
    await vscode.commands.executeCommand('undo');
    assert.equal(document.getText(), before);
  });

  test('completion offers keys and the files in parts/', async () => {
    const editor = await openManifest();
    await replaceText(editor, '    wall: solid\n', '    wall: solid\n    re\n');
    const keys = await complete(editor.document, positionOf(editor.document, '    re\n', 6));
    assert.ok(keys.includes('resin'), keys.join(', '));
    await vscode.commands.executeCommand('undo');
    const at = positionOf(editor.document, 'parts/post.stl', 'parts/'.length);
    const files = await complete(editor.document, at);
    assert.ok(files.includes('parts/shade.stl'), files.join(', '));
  });

  test('a hover explains a key, and a part with its figures and links', async () => {
    const { document } = await openManifest();
    assert.match(await hover(document, positionOf(document, 'raise: 5', 1)), /plate/);
    const text = await until('figures in the hover', async () => {
      const said = await hover(document, positionOf(document, '  shade:', 4));
      return /\bml\b/.test(said) && said;
    });
    assert.match(text, /command:kitwright\.openTurntable/);
  });

  test('code lenses lead to the turntable, can be turned off', async () => {
    const { document } = await openManifest();
    const titles = async () => {
      const lenses = await vscode.commands.executeCommand<vscode.CodeLens[]>(
        'vscode.executeCodeLensProvider',
        document.uri,
        50,
      );
      return lenses.map((lens) => lens.command?.title ?? '');
    };
    const shown = await titles();
    assert.equal(shown.filter((title) => title.includes('Show on turntable')).length, 2);
    assert.equal(shown.filter((title) => title === 'Make ready').length, 2);
    const settings = vscode.workspace.getConfiguration();
    await settings.update('kitwright.codeLens.enabled', false, vscode.ConfigurationTarget.Global);
    try {
      await until('no lenses', async () => (await titles()).length === 0);
    } finally {
      await settings.update('kitwright.codeLens.enabled', undefined, vscode.ConfigurationTarget.Global);
    }
  });

  test('the outline lists the parts', async () => {
    const { document } = await openManifest();
    const symbols = await vscode.commands.executeCommand<vscode.DocumentSymbol[]>(
      'vscode.executeDocumentSymbolProvider',
      document.uri,
    );
    const names = symbols.map(({ name }) => name);
    assert.ok(names.includes('shade') && names.includes('post'), names.join(', '));
  });

  test('explaining a finding opens its section of the README', async () => {
    await vscode.commands.executeCommand('kitwright.explainFinding', 'sealed-cup');
    await until('a preview tab', () =>
      vscode.window.tabGroups.all.flatMap(({ tabs }) => tabs).some(({ label }) => /README/.test(label)),
    );
  });
});

async function complete(document: vscode.TextDocument, position: vscode.Position): Promise<string[]> {
  const list = await vscode.commands.executeCommand<vscode.CompletionList>(
    'vscode.executeCompletionItemProvider',
    document.uri,
    position,
  );
  return list.items.map(({ label }) => (typeof label === 'string' ? label : label.label));
}

async function hover(document: vscode.TextDocument, position: vscode.Position): Promise<string> {
  const hovers = await vscode.commands.executeCommand<vscode.Hover[]>(
    'vscode.executeHoverProvider',
    document.uri,
    position,
  );
  const texts = hovers.flatMap(({ contents }) => contents);
  return texts.map((content) => (typeof content === 'string' ? content : content.value)).join('\n');
}
