import path from 'node:path';
import * as vscode from 'vscode';
import { plural } from '../../core/kit/rules/figures.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds, manifestName } from '../../host/ids.ts';
import type { Services } from '../../host/services.ts';
import type { StartedKit } from '../../protocol/engineApi.ts';

/** Writes a commented manifest for the STL files of a folder and opens it. */
export function registerStartKit(services: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.startKit, async (argument: unknown) => {
    const folder = argument instanceof vscode.Uri ? argument : await chosenFolder();
    if (folder !== undefined) await start(services, folder);
  });
}

/** The only folder of the workspace, or the one that is picked. */
async function chosenFolder(): Promise<vscode.Uri | undefined> {
  const folders = vscode.workspace.workspaceFolders ?? [];
  if (folders.length === 1) return folders[0]!.uri;
  if (folders.length > 1) {
    return (await vscode.window.showWorkspaceFolderPick({ placeHolder: 'Start a kit in which folder?' }))
      ?.uri;
  }
  const open = 'Open Folder';
  const answer = await vscode.window.showInformationMessage(
    'Open the folder that holds your STL files first.',
    open,
  );
  if (answer === open) await vscode.commands.executeCommand('vscode.openFolder');
  return undefined;
}

async function start(services: Services, uri: vscode.Uri): Promise<void> {
  const folder = uri.fsPath;
  const manifest = vscode.Uri.joinPath(uri, manifestName);
  if (services.kits.get(manifest) !== null) {
    await vscode.window.showTextDocument(manifest);
    void vscode.window.showInformationMessage(
      `${path.basename(folder)} is a kit already: here is its ${manifestName}.`,
    );
    return;
  }
  const started = await askEngine(services, { dir: folder }, 'Looking for STL files', (signal) =>
    services.engine.call('startKit', { folder }, { signal }),
  );
  if (started === undefined) return;
  await vscode.window.showTextDocument(vscode.Uri.file(started.file));
  void vscode.window.showInformationMessage(startedText(started));
}

function startedText({ parts, left, more }: StartedKit): string {
  const names = left.map(({ file }) => JSON.stringify(file)).join(', ');
  return [
    `${manifestName} has ${plural(parts.length, 'part')}. Say in it how large they are printed; then they are checked.`,
    ...(left.length > 0 ? [`Left out, since no manifest can name them: ${names}.`] : []),
    ...(more ? ['There may be more STL files, too deep or too many: add those by hand.'] : []),
  ].join(' ');
}
