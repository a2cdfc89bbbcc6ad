import * as vscode from 'vscode';
import { changesOf, type ProposalReport, proposalText } from '../../core/propose/proposalReport.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import type { KitProposal } from '../../protocol/engineApi.ts';

/** Vents and drains for a part as one edit of the manifest, which an undo takes back. */
export function registerProposeOpenings(services: Services): vscode.Disposable {
  return registerPartCommand(
    services,
    commandIds.proposeOpenings,
    'Propose openings for which part?',
    (kit, part) => propose(services, kit, part),
  );
}

async function propose(services: Services, kit: Kit, part: string): Promise<void> {
  const { text, source } = kit;
  const proposal = await askEngine(services, kit, `Proposing openings for ${part}`, (signal, onProgress) =>
    services.engine.call(
      'propose',
      { ...source, parts: [part], write: false, noCache: false },
      { signal, onProgress },
    ),
  );
  if (proposal !== undefined) await answer(services, kit, part, text, proposal);
}

async function answer(
  services: Services,
  kit: Kit,
  part: string,
  askedOf: string,
  { parts, failed, manifestText }: KitProposal,
): Promise<void> {
  const report = parts[part];
  for (const { message } of failed) void vscode.window.showErrorMessage(`${part}: ${message}`);
  if (report === undefined) {
    if (failed.length === 0)
      void vscode.window.showInformationMessage(`${part} is solid: it needs no openings.`);
    return;
  }
  services.log.info(proposalText(part, report));
  if (!(await applyProposal(services, kit, askedOf, manifestText, 'openings'))) return;
  await tell(services, part, report);
}

async function tell({ log }: Services, part: string, report: ProposalReport): Promise<void> {
  const why = 'Show Reasons';
  if ((await vscode.window.showInformationMessage(summary(part, report), why)) === why) log.show(true);
}

/** One sentence; the reasons stand in the log. */
function summary(part: string, report: ProposalReport): string {
  const { openings, before, after, unmet } = report;
  if (changesOf(report) === 0) {
    return unmet.length === 0
      ? `${part}: the openings are good as they are.`
      : `${part}: no opening cures what is found. ${unmet[0]!.message}`;
  }
  const stays =
    unmet.length === 0 ? '' : ` What stays has another cause: ${unmet.map(({ code }) => code).join(', ')}.`;
  return `${part}: ${openings.length} openings in kit.yaml, ${before.opening_findings} → ${after.opening_findings} findings about them, suction ${before.worst_suction_n} → ${after.worst_suction_n} N.${stays} Undo takes it back.`;
}
