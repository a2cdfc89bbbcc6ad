import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { type CommandId, commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import { ChangesDocuments } from './changesDocuments.ts';
import { chooseSides } from './chooseSides.ts';
import { compare } from './compare.ts';
import { record } from './record.ts';
import { ScratchFolders } from './scratchFolders.ts';
import { chooseChangedPart, type ShowSides } from './showBoth.ts';
import { TurntablePair } from './turntablePair.ts';

/** The ledger in the editor: recorded, and compared between revisions of git, in words and on turntables. */
export function registerLedger(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const documents = disposables.add(new ChangesDocuments());
  const scratch = disposables.add(new ScratchFolders());
  const pairs = new Set<TurntablePair>();
  disposables.add({
    dispose() {
      for (const pair of [...pairs]) pair.dispose();
    },
  });
  const showSides: ShowSides = async (kit, sides) => {
    const changed = await chooseChangedPart(sides);
    if (changed === null) return;
    const pair = new TurntablePair(services, scratch, kit, sides, changed);
    pairs.add(pair);
    pair.onDidClose(() => pairs.delete(pair));
  };
  const command = (id: CommandId, run: (kit: Kit) => Promise<void>): void => {
    disposables.add(
      vscode.commands.registerCommand(id, async (argument: unknown) => {
        const target = targetOrTell(services.kits, argument);
        if (target !== null) await run(target.kit);
      }),
    );
  };
  command(commandIds.record, (kit) => record(services, documents, kit));
  command(commandIds.compare, (kit) => compare(services, documents, showSides, kit));
  command(commandIds.showBoth, async (kit) => {
    const sides = await chooseSides(services, kit);
    if (sides !== null) await showSides(kit, sides);
  });
  return disposables;
}
