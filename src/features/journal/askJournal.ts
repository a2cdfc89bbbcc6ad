import * as vscode from 'vscode';
import { applyEdits, setValue } from '../../core/kit/edits.ts';
import type { Calibration } from '../../core/kit/journal/calibrate.ts';
import { journalText } from '../../core/kit/journal/journalText.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import type { KitJournal } from '../../protocol/engineApi.ts';

/** Lists what the journal says of a part; a number that the prints give may be taken over from the list. */
export function registerAskJournal(services: Services): vscode.Disposable {
  return registerPartCommand(
    services,
    commandIds.askJournal,
    'What worked for parts like which?',
    (kit, part) => askJournal(services, kit, part),
  );
}

interface Line extends vscode.QuickPickItem {
  /** To be taken over when the line is picked; null where it only tells. */
  readonly takes: Calibration | null;
}

async function askJournal(services: Services, kit: Kit, part: string): Promise<void> {
  const askedOf = kit.text;
  const told = await askEngine(services, kit, `Reading the journal for ${part}`, (signal, onProgress) =>
    services.engine.call(
      'journal',
      { ...kit.source, part, write: null, noCache: false },
      { signal, onProgress },
    ),
  );
  if (told === undefined) return;
  const picked = await vscode.window.showQuickPick(linesOf(told), {
    title: `What the journal says of ${part}`,
    placeHolder: 'Enter takes a number over where one is offered',
  });
  const takes = picked?.takes ?? null;
  if (takes === null || takes.proposed === null) return;
  const edits = setValue(askedOf, takes.key.split('.'), takes.proposed);
  if (edits.length === 0) {
    void vscode.window.showWarningMessage(`${takes.key} cannot be edited by itself; change it by hand.`);
    return;
  }
  await applyProposal(services, kit, askedOf, applyEdits(askedOf, edits), 'numbers');
}

function linesOf(told: KitJournal): readonly Line[] {
  const offered = told.calibrations.filter(({ proposed }) => proposed !== null);
  return [
    ...journalText(told).map((label) => ({ label, takes: null })),
    ...offered.map((takes) => ({
      label: `$(edit) Take over ${takes.key}: ${takes.proposed} ${takes.unit}`,
      description: `now ${takes.current}`,
      takes,
    })),
  ];
}
