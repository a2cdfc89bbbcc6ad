import * as vscode from 'vscode';
import { changesDocument } from '../../core/kit/ledger/changesDocument.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { showMarkdown } from '../../host/showMarkdown.ts';
import type { ChangesDocuments } from './changesDocuments.ts';
import { chooseSides } from './chooseSides.ts';
import { changedParts, type ShowSides } from './showBoth.ts';

/** Shows what the ledger says otherwise in two revisions of git, and offers both on the turntable. */
export async function compare(
  services: Services,
  documents: ChangesDocuments,
  showSides: ShowSides,
  kit: Kit,
): Promise<void> {
  const sides = await chooseSides(services, kit);
  if (sides === null) return;
  const { from, to } = sides;
  const text = changesDocument(from.ledger, to.ledger, { from: from.name, to: to.name });
  await showMarkdown(services, documents.put(kit, `${from.name} → ${to.name}`, text));
  const changed = changedParts(sides).length;
  if (changed === 0) return;
  const show = 'Show Both Turntables…';
  const question = `${plural(changed, 'part')} changed from ${from.name} to ${to.name}.`;
  if ((await vscode.window.showInformationMessage(question, show)) === show) await showSides(kit, sides);
}
