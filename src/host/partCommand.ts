import * as vscode from 'vscode';
import { askForPart } from './askForPart.ts';
import type { CommandId } from './ids.ts';
import type { Kit } from './kits.ts';
import { type ResolvedTarget, resolveTarget } from './kitTarget.ts';
import type { Services } from './services.ts';

/** A command about one part: the one its argument names, else that at the cursor, else the one that is chosen. */
export function registerPartCommand(
  { kits }: Services,
  id: CommandId,
  question: string,
  run: (kit: Kit, part: string) => Promise<void>,
): vscode.Disposable {
  return vscode.commands.registerCommand(id, async (argument: unknown) => {
    const target = targetOrTell(kits, argument);
    const part = target && (target.part ?? (await askForPart(target.kit, question)));
    if (target != null && part != null) await run(target.kit, part);
  });
}

/** The kit a command is about; null when there is none, which has been told then. */
export function targetOrTell(kits: Services['kits'], argument: unknown): ResolvedTarget | null {
  const target = resolveTarget(kits, argument);
  if (target === null) void vscode.window.showInformationMessage('Open a folder with a kit.yaml first.');
  return target;
}
