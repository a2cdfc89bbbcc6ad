import * as vscode from 'vscode';
import type { PartState, PartStateKind } from '../../core/kit/partState.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, viewIds } from '../../host/ids.ts';
import { resolveTarget } from '../../host/kitTarget.ts';
import { revealManifest, toVsCodeRange } from '../../host/revealManifest.ts';
import type { Services } from '../../host/services.ts';
import type { PartNode } from './partNodes.ts';
import { PartTree } from './partTree.ts';

/** The view “Parts”, and the way from a row to its place in the manifest. */
export function registerParts(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const tree = disposables.add(new PartTree(services));
  const view = disposables.add(
    vscode.window.createTreeView(viewIds.parts, { treeDataProvider: tree, showCollapseAll: true }),
  );
  const tell = () => tellTotals(view, services, tree);
  disposables.add(tree.onDidChangeTreeData(tell));
  tell();
  disposables.add(
    vscode.commands.registerCommand(commandIds.goToPart, (argument: unknown) => goTo(services, argument)),
  );
  return disposables;
}

/** Beside the title how many are ready, on the badge how many want the builder. */
function tellTotals(view: vscode.TreeView<PartNode>, { kits, engine }: Services, tree: PartTree): void {
  const states = kits.all().flatMap((kit) => tree.statesOf(kit));
  const count = (...kinds: PartStateKind[]) =>
    states.filter(({ kind }: PartState) => kinds.includes(kind)).length;
  const waiting = count('decision', 'errors');
  view.description = states.length === 0 ? '' : `${count('ready', 'printed')} of ${states.length} ready`;
  view.badge =
    waiting === 0
      ? undefined
      : { value: waiting, tooltip: `${plural(waiting, 'part')} with errors or an open decision` };
  view.message =
    engine.allowed || states.length === 0
      ? ''
      : 'This folder is not trusted, so its parts are not read. Trust it to have them checked.';
}

async function goTo({ kits }: Services, argument: unknown): Promise<void> {
  const target = resolveTarget(kits, argument);
  if (target === null) return;
  const { kit, part } = target;
  const plate = plateOf(argument);
  const path = part !== null ? ['parts', part] : plate !== null ? ['plates', plate] : ['parts'];
  await revealManifest(kit, toVsCodeRange(kit.parsed.rangeOf(path, true)));
}

function plateOf(argument: unknown): string | null {
  if (typeof argument !== 'object' || argument === null || !('plate' in argument)) return null;
  return typeof argument.plate === 'string' ? argument.plate : null;
}
