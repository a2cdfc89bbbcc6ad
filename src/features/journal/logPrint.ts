import path from 'node:path';
import * as vscode from 'vscode';
import { dayOf } from '../../core/kit/journal/dayOf.ts';
import { cameOut, type PrintResult } from '../../core/kit/journal/journal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';

/** Asks how a print went, and adds it to the journal with the part's settings and figures. */
export function registerLogPrint(services: Services): vscode.Disposable {
  return registerPartCommand(services, commandIds.logPrint, 'A print of which part?', (kit, part) =>
    logPrint(services, kit, part),
  );
}

interface Told {
  readonly result: PrintResult;
  readonly layer: number | null;
  readonly words: string | null;
  readonly photo: string | null;
}

async function logPrint(services: Services, kit: Kit, part: string): Promise<void> {
  const told = await askHow(kit, part);
  if (told === undefined) return;
  const logged = await askEngine(services, kit, `Logging a print of ${part}`, (signal, onProgress) =>
    services.engine.call(
      'logPrint',
      { ...kit.source, part, ...told, date: dayOf(new Date()), noCache: false },
      { signal, onProgress },
    ),
  );
  if (logged === undefined) return;
  const open = 'Open Journal';
  const said = `A print of ${part} is in the journal: ${told.result}.`;
  const answer = await vscode.window.showInformationMessage(said, open);
  if (answer === open) await vscode.window.showTextDocument(vscode.Uri.file(logged.file));
}

/** One question after the other; undefined where one was left without an answer. */
async function askHow(kit: Kit, part: string): Promise<Told | undefined> {
  const result = await vscode.window.showQuickPick(results, {
    title: `How did ${part} come out?`,
    ignoreFocusOut: true,
  });
  if (result === undefined) return undefined;
  const layer = cameOut(result.result) ? '' : await askLayer();
  if (layer === undefined) return undefined;
  const words = await vscode.window.showInputBox({
    title: 'In your words',
    prompt: 'What you saw, what you would do otherwise. May be left empty.',
    ignoreFocusOut: true,
  });
  if (words === undefined) return undefined;
  const photo = await askPhoto(kit);
  if (photo === undefined) return undefined;
  return {
    result: result.result,
    layer: layer === '' ? null : Number(layer),
    words: words.trim() || null,
    photo,
  };
}

const results: readonly (vscode.QuickPickItem & { readonly result: PrintResult })[] = [
  { result: 'good', label: 'good', description: 'it can be used as it is' },
  { result: 'flawed', label: 'flawed', description: 'it held, with faults' },
  { result: 'off-plate', label: 'off-plate', description: 'it came off the plate, or its raft did' },
  { result: 'off-supports', label: 'off-supports', description: 'it tore off its supports' },
  { result: 'failed', label: 'failed', description: 'in another way' },
];

function askLayer(): Thenable<string | undefined> {
  return vscode.window.showInputBox({
    title: 'The layer of failure',
    prompt: 'From 0 at the plate. May be left empty.',
    ignoreFocusOut: true,
    validateInput: (text) =>
      /^\s*\d{0,7}\s*$/.test(text) ? null : 'A whole number, or nothing where it is not known.',
  });
}

/** Absolute path; null for none, undefined where the question was left. */
async function askPhoto(kit: Kit): Promise<string | null | undefined> {
  const choose = 'Choose a photo…';
  const picked = await vscode.window.showQuickPick(['No photo', choose], {
    title: 'A photo of it',
    ignoreFocusOut: true,
  });
  if (picked !== choose) return picked === undefined ? undefined : null;
  const chosen = await vscode.window.showOpenDialog({
    title: 'A photo of the print',
    defaultUri: vscode.Uri.file(path.dirname(kit.uri.fsPath)),
    filters: { Pictures: ['jpg', 'jpeg', 'png', 'webp', 'heic', 'gif'] },
  });
  // Everything is answered by now: a dialog that is closed costs the photo, not the answers.
  return chosen?.[0]?.fsPath ?? null;
}
