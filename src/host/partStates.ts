import * as vscode from 'vscode';
import { type PartState, partState } from '../core/kit/partState.ts';
import type { DiagnosticsService } from './diagnostics.ts';
import { Disposables } from './disposables.ts';
import { Journals } from './journals.ts';
import type { Kit, KitService } from './kits.ts';
import type { PartResults } from './partResults.ts';

/** What happens within this time is told at once. */
const tellMs = 80;

/** How every part of every kit stands: from the manifest, the findings, the running check and the journal. */
export class PartStates implements vscode.Disposable {
  readonly #diagnostics: DiagnosticsService;
  readonly #results: PartResults;
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<void>());
  readonly #journals = this.#disposables.add(new Journals());
  /** As last told, by part: what a check will soon say anew stays as it was. */
  readonly #states = new WeakMap<Kit, Map<string, PartState>>();
  #timer: NodeJS.Timeout | undefined;
  /** Something that a list of parts shows may be otherwise, in any kit: states, figures, names, order. */
  readonly onDidChange = this.#changed.event;

  constructor(kits: KitService, diagnostics: DiagnosticsService, results: PartResults) {
    this.#diagnostics = diagnostics;
    this.#results = results;
    const events = [
      kits.onDidAdd,
      kits.onDidChange,
      kits.onDidRemove,
      kits.onDidReport,
      diagnostics.onDidChange,
      results.onDidChange,
      this.#journals.onDidChange,
      vscode.workspace.onDidGrantWorkspaceTrust,
    ];
    for (const event of events as vscode.Event<unknown>[]) this.#disposables.add(event(() => this.#soon()));
  }

  of(kit: Kit, part: string): PartState {
    const states = this.#states.get(kit) ?? new Map<string, PartState>();
    this.#states.set(kit, states);
    const { measured } = this.#results.of(kit, part);
    const before = states.get(part);
    if (measured === 'again' && before !== undefined) return before;
    const state = partState({
      tree: kit.parsed.tree,
      part,
      findings: this.#diagnostics.of(kit),
      measured: measured === 'again' ? 'not' : measured,
      printed: this.#journals.printedOf(kit).has(part),
    });
    states.set(part, state);
    return state;
  }

  dispose(): void {
    clearTimeout(this.#timer);
    this.#disposables.dispose();
  }

  #soon(): void {
    this.#timer ??= setTimeout(() => {
      this.#timer = undefined;
      this.#changed.fire();
    }, tellMs);
  }
}
