import * as vscode from 'vscode';
import { parseManifest } from '../../core/kit/parseManifest.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import { platesProposalText } from '../../core/plates/platesProposal.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { revealManifest, toVsCodeRange } from '../../host/revealManifest.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import type { KitPlates } from '../../protocol/engineApi.ts';

/** Plates for the parts of a kit that are on none, as one edit of the manifest, which an undo takes back. */
export function registerProposePlates(services: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.proposePlates, async (argument: unknown) => {
    const target = targetOrTell(services.kits, argument);
    if (target !== null) await propose(services, target.kit);
  });
}

async function propose(services: Services, kit: Kit): Promise<void> {
  const { text, source } = kit;
  const proposal = await askEngine(services, kit, 'Proposing plates', (signal, onProgress) =>
    services.engine.call(
      'proposePlates',
      { ...source, write: false, noCache: false },
      { signal, onProgress },
    ),
  );
  if (proposal !== undefined) await answer(services, kit, text, proposal);
}

/** New plates stand at the manifest's end, mostly out of sight. */
async function showFirst(kit: Kit, plates: KitPlates['plates'], text: string): Promise<void> {
  const [first] = Object.keys(plates);
  if (first === undefined) return;
  await revealManifest(kit, toVsCodeRange(parseManifest(text).rangeOf(['plates', first])));
}

async function answer(
  services: Services,
  kit: Kit,
  askedOf: string,
  { plates, left, failed, manifestText }: KitPlates,
): Promise<void> {
  const { log } = services;
  log.info(platesProposalText(plates, left));
  if (failed !== null) void vscode.window.showErrorMessage(failed);
  if (!(await applyProposal(services, kit, askedOf, manifestText, 'plates'))) return;
  if (manifestText !== askedOf) await showFirst(kit, plates, manifestText);
  const count = failed === null ? Object.keys(plates).length : 0;
  const head = count === 0 ? 'No new plate.' : `${plural(count, 'plate')} in kit.yaml. Undo takes it back.`;
  const apart = left.length === 0 ? '' : ` On no plate: ${left.map(({ part }) => part).join(', ')}.`;
  const why = 'Show Reasons';
  if ((await vscode.window.showInformationMessage(`${head}${apart}`, why)) === why) log.show(true);
}
