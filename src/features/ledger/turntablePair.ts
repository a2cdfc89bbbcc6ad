import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import type { ChosenSides } from './chooseSides.ts';
import type { ScratchFolders } from './scratchFolders.ts';
import type { ChangedPart } from './showBoth.ts';
import { SideTurntable } from './sideTurntable.ts';

/**
 * A part as two revisions have it, on two turntables beside each other, the one compared from on the left: turn or
 * cut one, and the other follows. Closing one closes both.
 */
export class TurntablePair implements vscode.Disposable {
  readonly #disposables = new Disposables();

  constructor(
    services: Services,
    scratch: ScratchFolders,
    kit: Kit,
    { repository, from, to }: ChosenSides,
    changed: ChangedPart,
  ) {
    const places = { repository, scratch };
    const { Active, Beside } = vscode.ViewColumn;
    const left: SideTurntable = new SideTurntable(services, kit, places, from, {
      ...changed,
      column: Active,
      leads: true,
      onLook: (look) => right.follow(look),
    });
    const right: SideTurntable = new SideTurntable(services, kit, places, to, {
      ...changed,
      column: Beside,
      leads: false,
      onLook: (look) => left.follow(look),
    });
    for (const side of [left, right]) {
      this.#disposables.add(side);
      side.onDidClose(() => this.dispose());
    }
  }

  /** When either is closed, or `dispose` is called. */
  onDidClose(act: () => void): void {
    this.#disposables.add({ dispose: act });
  }

  dispose(): void {
    this.#disposables.dispose();
  }
}
