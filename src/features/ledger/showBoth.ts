import * as vscode from 'vscode';
import { compareLedgers } from '../../core/kit/ledger/compareLedgers.ts';
import type { Kit } from '../../host/kits.ts';
import type { ChosenSides } from './chooseSides.ts';

/** Shows a part of both sides on turntables, once the builder has chosen which. */
export type ShowSides = (kit: Kit, sides: ChosenSides) => Promise<void>;

/** A part that both sides have, and what is otherwise. */
export interface ChangedPart {
  readonly part: string;
  readonly changes: readonly string[];
}

export function changedParts({ from, to }: ChosenSides): readonly ChangedPart[] {
  return compareLedgers(from.ledger, to.ledger).flatMap(({ part, changes }) => {
    const inBoth =
      part !== null && Object.hasOwn(from.ledger.parts, part) && Object.hasOwn(to.ledger.parts, part);
    return inBoth ? [{ part, changes }] : [];
  });
}

/** The part to look at: the only one that changed, else the builder's choice; null when there is none. */
export async function chooseChangedPart(sides: ChosenSides): Promise<ChangedPart | null> {
  const changed = changedParts(sides);
  const [only] = changed;
  if (only === undefined) {
    void vscode.window.showInformationMessage(
      `No part that both have is otherwise in ${sides.to.name} than in ${sides.from.name}.`,
    );
    return null;
  }
  if (changed.length === 1) return only;
  const items = changed.map((one) => ({ label: one.part, detail: one.changes.join(', '), one }));
  const title = `Show which part of ${sides.from.name} and ${sides.to.name}?`;
  return (await vscode.window.showQuickPick(items, { title, matchOnDetail: true }))?.one ?? null;
}
