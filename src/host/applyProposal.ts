import * as vscode from 'vscode';
import { difference } from '../core/kit/difference.ts';
import type { Kit } from './kits.ts';
import type { Services } from './services.ts';
import { workspaceEdit } from './workspaceEdit.ts';

/**
 * Puts a proposal into the manifest as one edit, which an undo takes back, and has it checked. False, and told, where
 * the text has changed since it was asked for, or cannot be edited; `what` is in the plural.
 */
export async function applyProposal(
  { kits }: Services,
  kit: Kit,
  askedOf: string,
  manifestText: string,
  what: string,
): Promise<boolean> {
  const document = await vscode.workspace.openTextDocument(kit.uri);
  if (kit.text !== askedOf || document.getText() !== askedOf) {
    void vscode.window.showWarningMessage(
      `kit.yaml was changed while ${what} were being proposed, so it was left alone. Propose again.`,
    );
    return false;
  }
  if (manifestText === askedOf) return true;
  if (!(await vscode.workspace.applyEdit(workspaceEdit(document, [difference(askedOf, manifestText)])))) {
    void vscode.window.showWarningMessage('kit.yaml cannot be edited, so it was left alone.');
    return false;
  }
  kits.hurry(kit);
  return true;
}
