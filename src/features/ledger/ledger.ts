import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { type CommandId, commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import { ChangesDocuments } from './changesDocuments.ts';
import { compare } from './compare.ts';
import { record } from './record.ts';

/** The ledger in the editor: recorded, and compared between revisions of git. */
export function registerLedger(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const documents = disposables.add(new ChangesDocuments());
  const command = (id: CommandId, run: (kit: Kit) => Promise<void>): void => {
    disposables.add(
      vscode.commands.registerCommand(id, async (argument: unknown) => {
        const target = targetOrTell(services.kits, argument);
        if (target !== null) await run(target.kit);
      }),
    );
  };
  command(commandIds.record, (kit) => record(services, documents, kit));
  command(commandIds.compare, (kit) => compare(services, documents, kit));
  return disposables;
}
