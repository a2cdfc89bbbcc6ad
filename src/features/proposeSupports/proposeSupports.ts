import * as vscode from 'vscode';
import { plural } from '../../core/kit/rules/figures.ts';
import { heldByNone, type SupportsReport, supportsText } from '../../core/supports/supportsReport.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';

/** What holds a part, as one edit of the manifest, which an undo takes back. */
export function registerProposeSupports(services: Services): vscode.Disposable {
  return registerPartCommand(
    services,
    commandIds.proposeSupports,
    'Propose supports for which part?',
    (kit, part) => propose(services, kit, part),
  );
}

async function propose(services: Services, kit: Kit, part: string): Promise<void> {
  const { text, source } = kit;
  const proposal = await askEngine(services, kit, `Proposing supports for ${part}`, (signal, onProgress) =>
    services.engine.call(
      'proposeSupports',
      { ...source, parts: [part], write: false, noCache: false },
      { signal, onProgress },
    ),
  );
  if (proposal === undefined) return;
  for (const { message } of proposal.failed) void vscode.window.showErrorMessage(`${part}: ${message}`);
  const report = proposal.parts[part];
  if (report === undefined) return;
  const { log } = services;
  log.info(supportsText(part, report));
  if (!(await applyProposal(services, kit, text, proposal.manifestText, 'supports'))) return;
  const why = 'Show Reasons';
  if ((await vscode.window.showInformationMessage(summary(part, report), why)) === why) log.show(true);
}

/** One sentence or two; the steps stand in the log. */
function summary(part: string, { steps, supports, unmet }: SupportsReport): string {
  const stays = unmet.length === 0 ? '' : ` What stays: ${unmet.map(({ code }) => code).join(', ')}.`;
  if (supports === null) return `${part}: ${heldByNone(unmet)}.${stays}`;
  const { count, widest_tip_mm, resin_ml } = supports;
  const held = `${part}: ${plural(count, 'support')}, the widest tip ${widest_tip_mm} mm, ${resin_ml} ml.`;
  return `${held}${stays}${steps.length === 0 ? ' Nothing to change.' : ' Undo takes it back.'}`;
}
