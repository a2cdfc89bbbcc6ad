import * as vscode from 'vscode';
import { parseManifest } from '../../core/kit/parseManifest.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import { poseEdits } from '../../core/pose/poseEdits.ts';
import {
  type PoseProposalReport,
  type PoseReport,
  poseProposalText,
  whatIsShort,
} from '../../core/pose/poseReport.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import { workspaceEdit } from '../../host/workspaceEdit.ts';

/** A few poses for a part to choose from; the chosen one is one edit of its `turn` and `raise`, which an undo takes back. */
export function registerProposePose(services: Services): vscode.Disposable {
  return registerPartCommand(services, commandIds.proposePose, 'Propose poses for which part?', (kit, part) =>
    propose(services, kit, part),
  );
}

async function propose(services: Services, kit: Kit, part: string): Promise<void> {
  const poses = await askEngine(services, kit, `Proposing poses for ${part}`, (signal, onProgress) =>
    services.engine.call(
      'proposePose',
      { ...kit.source, parts: [part], write: null, noCache: false },
      { signal, onProgress },
    ),
  );
  for (const { message } of poses?.failed ?? []) void vscode.window.showErrorMessage(`${part}: ${message}`);
  const report = poses?.parts[part];
  if (report !== undefined) await choose(services, kit, part, report);
}

interface PoseItem extends vscode.QuickPickItem {
  readonly pose: PoseReport | null;
}

async function choose(
  { kits, log }: Services,
  kit: Kit,
  part: string,
  report: PoseProposalReport,
): Promise<void> {
  log.info(poseProposalText(part, report));
  if (report.poses.length === 0) {
    void vscode.window.showWarningMessage(poseProposalText(part, report));
    return;
  }
  const items: PoseItem[] = [
    ...report.poses.map((pose, n) => item(`${n + 1}  turn ${turnText(pose)}`, pose.why, pose)),
    {
      ...item(`As it is  ${turnText(report.now)}`, whatIsShort(report.now), report.now),
      pose: null,
    },
  ];
  const picked = await vscode.window.showQuickPick(items, {
    title: `A pose for ${part}: ${report.compared} compared`,
    placeHolder: 'Which one goes into kit.yaml?',
    matchOnDescription: true,
  });
  if (picked?.pose == null) return;
  // The text may have changed while the list was open; the turn is set in what stands there now.
  const document = await vscode.workspace.openTextDocument(kit.uri);
  const text = document.getText();
  const now = parseManifest(text).manifest?.parts.find(({ name }) => name === part);
  const edits = now === undefined ? null : poseEdits(text, now, picked.pose);
  if (edits === null) {
    void vscode.window.showWarningMessage(
      `${part} is no longer in kit.yaml, or cannot be edited there by itself.`,
    );
    return;
  }
  await vscode.workspace.applyEdit(workspaceEdit(document, edits));
  kits.hurry(kit);
}

const item = (label: string, description: string, pose: PoseReport): PoseItem => ({
  label,
  description,
  detail: figuresOf(pose),
  pose,
});

const turnText = ({ turn }: PoseReport): string => `[${turn.join(', ')}]`;

/** Short: the list cuts what is longer than some ninety characters. */
function figuresOf(pose: PoseReport): string {
  const shown = pose.show_overhang_mm2 > 0 ? ` (shown ${pose.show_overhang_mm2})` : '';
  return [
    `${pose.height_mm.toFixed(0)} mm`,
    `${pose.hours.toFixed(1)} h`,
    ...(pose.raise_mm > 0 ? [`raised ${pose.raise_mm} mm`] : []),
    `overhang ${pose.overhang_mm2} mm²${shown}`,
    plural(pose.islands, 'island'),
    `pull ${pose.peak_pull_n.toFixed(0)} N`,
    plural(pose.cups, 'cup'),
    ...(pose.floor_mm2 > 0 ? [`flat ${pose.floor_mm2} mm²`] : []),
  ].join(' · ');
}
