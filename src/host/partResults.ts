import * as vscode from 'vscode';
import type { PartReport } from '../core/kit/report.ts';
import type { Kit } from './kits.ts';

export interface PartResult {
  /** `again`: it was measured, the manifest has changed since, and a check is on its way. `now`: the engine is at it. */
  readonly measured: 'not' | 'again' | 'now' | 'done';
  /** The latest figures; null where it was not measured yet, or could not be. */
  readonly report: PartReport | null;
}

const nothing: PartResult = { measured: 'not', report: null };

/** How far the running check is, part by part, and what it brought so far. Findings stand in the diagnostics. */
export class PartResults implements vscode.Disposable {
  readonly #kits = new Map<Kit, Map<string, PartResult>>();
  readonly #changed = new vscode.EventEmitter<Kit>();
  readonly onDidChange = this.#changed.event;

  of(kit: Kit, part: string): PartResult {
    return this.#kits.get(kit)?.get(part) ?? nothing;
  }

  working(kit: Kit, part: string): void {
    const { measured, report } = this.of(kit, part);
    if (measured !== 'now') this.#set(kit, part, { measured: 'now', report });
  }

  done(kit: Kit, part: string, report: PartReport | null): void {
    this.#set(kit, part, { measured: 'done', report });
  }

  /** The manifest has changed, and a check of it will follow. */
  doubt(kit: Kit): void {
    this.#restate(kit, ({ report }) => (report === null ? 'not' : 'again'));
  }

  /** No check runs or waits any more: what is not done was not checked. */
  settled(kit: Kit): void {
    this.#restate(kit, ({ measured }) => (measured === 'done' ? 'done' : 'not'));
  }

  /** What was measured is no longer true, and no check will say better for now. */
  forget(kit: Kit): void {
    if (this.#kits.delete(kit)) this.#changed.fire(kit);
  }

  dispose(): void {
    this.#changed.dispose();
  }

  #restate(kit: Kit, measured: (result: PartResult) => PartResult['measured']): void {
    const parts = this.#kits.get(kit);
    if (parts === undefined) return;
    for (const [part, result] of parts) parts.set(part, { ...result, measured: measured(result) });
    this.#changed.fire(kit);
  }

  #set(kit: Kit, part: string, result: PartResult): void {
    const parts = this.#kits.get(kit) ?? new Map<string, PartResult>();
    this.#kits.set(kit, parts.set(part, result));
    this.#changed.fire(kit);
  }
}
