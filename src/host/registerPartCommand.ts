import * as vscode from 'vscode';
import { askForPart } from './askForPart.ts';
import type { CommandId } from './ids.ts';
import type { Kit } from './kits.ts';
import type { Services } from './services.ts';
import { targetOrTell } from './targetOrTell.ts';

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
