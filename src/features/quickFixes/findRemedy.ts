import * as vscode from 'vscode';
import { difference } from '../../core/kit/difference.ts';
import { applyEdits } from '../../core/kit/edits.ts';
import type { RemedyAsk } from '../../core/kit/remedyAsk.ts';
import type { RemedyAnswer } from '../../core/propose/remedyAnswer.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { resolveTarget } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { workspaceEdit } from '../../host/workspaceEdit.ts';

/** Looks for what answers a finding, and makes it one edit of the manifest. Only quick fixes run it. */
export function registerFindRemedy(services: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.findRemedy, async (argument: unknown, ask: unknown) => {
    const target = resolveTarget(services.kits, argument);
    if (target !== null && target.part !== null && isAsk(ask))
      await find(services, target.kit, target.part, ask);
  });
}

/** A link can run any command with anything. */
function isAsk(value: unknown): value is RemedyAsk {
  if (typeof value !== 'object' || value === null || !('kind' in value)) return false;
  return (
    value.kind === 'find-wall' ||
    (value.kind === 'find-place' && 'opening' in value && typeof value.opening === 'string')
  );
}

async function find(services: Services, kit: Kit, part: string, ask: RemedyAsk): Promise<void> {
  const { text, source } = kit;
  const what = ask.kind === 'find-wall' ? 'wall' : 'place';
  const answer = await askEngine(services, kit, `Looking for a ${what} for ${part}`, (signal, onProgress) =>
    services.engine.call('remedy', { ...source, part, ask, noCache: false }, { signal, onProgress }),
  );
  if (answer === undefined) return;
  services.log.info(`${part}: ${answer.said}`);
  await apply(services, kit, text, answer);
}

async function apply(
  { kits }: Services,
  kit: Kit,
  askedOf: string,
  { said, edits, large }: RemedyAnswer,
): Promise<void> {
  if (edits === null) {
    void vscode.window.showInformationMessage(said);
    return;
  }
  const document = await vscode.workspace.openTextDocument(kit.uri);
  if (kit.text !== askedOf || document.getText() !== askedOf) {
    void vscode.window.showWarningMessage('kit.yaml changed meanwhile, so it was left alone. Do it again.');
    return;
  }
  const change = [difference(askedOf, applyEdits(askedOf, edits))];
  if (large) {
    // Shown as a difference first, and made once it is agreed to.
    await vscode.workspace.applyEdit(workspaceEdit(document, change, said), { isRefactoring: true });
  } else {
    await vscode.workspace.applyEdit(workspaceEdit(document, change));
    void vscode.window.showInformationMessage(`${said}: done in kit.yaml. Undo takes it back.`);
  }
  kits.hurry(kit);
}
