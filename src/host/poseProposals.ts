import * as vscode from 'vscode';
import type { PoseChoice } from '../protocol/poseChoice.ts';
import type { Kit } from './kits.ts';

/** Poses as proposed, before the manifest says which of them is taken. */
export type ProposedPoses = Omit<PoseChoice, 'taken'>;

/** Who proposes poses tells them here; who shows them listens. */
export class PoseProposals implements vscode.Disposable {
  readonly #proposed = new vscode.EventEmitter<{ readonly kit: Kit; readonly poses: ProposedPoses }>();
  readonly onDidPropose = this.#proposed.event;

  tell(kit: Kit, poses: ProposedPoses): void {
    this.#proposed.fire({ kit, poses });
  }

  dispose(): void {
    this.#proposed.dispose();
  }
}
