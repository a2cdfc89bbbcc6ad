import * as vscode from 'vscode';
import { pinsProposalLines } from '../../core/joints/pinsProposal.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import type { KitPins } from '../../protocol/engineApi.ts';

/** Holes for the pins that were decided on, as one edit of the manifest, which an undo takes back. */
export function registerProposePins(services: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.proposePins, async (argument: unknown) => {
    const target = targetOrTell(services.kits, argument);
    if (target !== null) await propose(services, target.kit);
  });
}

async function propose(services: Services, kit: Kit): Promise<void> {
  const { text, source } = kit;
  const proposal = await askEngine(services, kit, 'Proposing pins', (signal, onProgress) =>
    services.engine.call('proposePins', { ...source, write: false, noCache: false }, { signal, onProgress }),
  );
  if (proposal !== undefined) await answer(services, kit, text, proposal);
}

async function answer(services: Services, kit: Kit, askedOf: string, proposal: KitPins): Promise<void> {
  const { log } = services;
  const { failed, manifestText } = proposal;
  log.info([`${proposal.kit}: holes for pins`, ...pinsProposalLines(proposal)].join('\n'));
  if (failed !== null) void vscode.window.showErrorMessage(failed);
  if (!(await applyProposal(services, kit, askedOf, manifestText, 'pins'))) return;
  const why = 'Show Reasons';
  const said = summary(proposal, manifestText !== askedOf);
  const told =
    proposal.left.length === 0
      ? vscode.window.showInformationMessage(said, why)
      : vscode.window.showWarningMessage(said, why);
  if ((await told) === why) log.show(true);
}

/** One sentence or two; the figures stand in the log. */
function summary({ pins, left, failed }: KitPins, isEdited: boolean): string {
  const [first] = left;
  const none = first === undefined ? '' : ` Without holes: ${left.map(({ joint }) => joint).join(', ')}.`;
  if (pins.length > 0 && failed === null) {
    const holes = `Holes for ${plural(pins.length, 'pin')}`;
    return isEdited
      ? `${holes} in kit.yaml. Undo takes it back.${none}`
      : `${holes} stand in kit.yaml as they are to be.${none}`;
  }
  if (first !== undefined) return `No holes. ${first.joint}: ${first.message}`;
  return failed === null ? 'No joint of kit.yaml has a pin. Decide on one under joints first.' : 'No holes.';
}
