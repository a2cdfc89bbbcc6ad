import * as vscode from 'vscode';
import { poseProposalText } from '../../core/pose/poseReport.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';

/** A few poses for a part, shown as pictures on its turntable to choose from. */
export function registerProposePose(services: Services): vscode.Disposable {
  return registerPartCommand(services, commandIds.proposePose, 'Propose poses for which part?', (kit, part) =>
    propose(services, kit, part),
  );
}

async function propose(services: Services, kit: Kit, part: string): Promise<void> {
  const poses = await askEngine(services, kit, `Proposing poses for ${part}`, (signal, onProgress) =>
    services.engine.call(
      'proposePose',
      { ...kit.source, parts: [part], write: null, pictures: { into: null }, noCache: false },
      { signal, onProgress },
    ),
  );
  for (const { message } of poses?.failed ?? []) void vscode.window.showErrorMessage(`${part}: ${message}`);
  const report = poses?.parts[part];
  if (report === undefined) return;
  services.log.info(poseProposalText(part, report));
  if (report.poses.length === 0) {
    void vscode.window.showWarningMessage(poseProposalText(part, report));
    return;
  }
  services.poses.tell(kit, { part, report, pictures: poses?.pictures[part] ?? [] });
}
