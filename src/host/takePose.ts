import * as vscode from 'vscode';
import { parseManifest } from '../core/kit/parseManifest.ts';
import { poseEdits } from '../core/pose/poseEdits.ts';
import type { PoseReport } from '../core/pose/poseReport.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { Kit } from './kits.ts';
import type { Services } from './services.ts';
import { workspaceEdit } from './workspaceEdit.ts';

/**
 * Puts a pose into the manifest as it stands in the editor now: one edit, which one undo takes back. Rejects with a
 * sentence where that cannot be done.
 */
export async function takePose({ kits }: Services, kit: Kit, part: string, pose: PoseReport): Promise<void> {
  const document = await vscode.workspace.openTextDocument(kit.uri);
  const text = document.getText();
  const now = parseManifest(text).manifest?.parts.find(({ name }) => name === part);
  const edits = now === undefined ? null : poseEdits(text, now, pose);
  if (edits === null || !(await vscode.workspace.applyEdit(workspaceEdit(document, edits)))) {
    throw new RpcError({
      code: 'manifest-unreadable',
      message: `${part} is no longer in kit.yaml, or cannot be edited there by itself. Copy turn [${pose.turn.join(', ')}] by hand.`,
    });
  }
  kits.hurry(kit);
}
