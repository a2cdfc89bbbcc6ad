import * as vscode from 'vscode';
import { printedParts } from '../core/kit/printedParts.ts';
import { Disposables } from './disposables.ts';
import type { Kit } from './kits.ts';

const journalName = 'journal.yaml';
const none: ReadonlySet<string> = new Set();

/** Which parts the journals beside the manifests call well printed, as they lie on disk. */
export class Journals implements vscode.Disposable {
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<void>());
  /** By the journal's address. */
  readonly #printed = new Map<string, ReadonlySet<string>>();
  readonly onDidChange = this.#changed.event;

  constructor() {
    const watcher = this.#disposables.add(vscode.workspace.createFileSystemWatcher(`**/${journalName}`));
    for (const event of [watcher.onDidCreate, watcher.onDidChange, watcher.onDidDelete]) {
      this.#disposables.add(event((uri) => void this.#read(uri)));
    }
  }

  printedOf(kit: Kit): ReadonlySet<string> {
    const uri = vscode.Uri.joinPath(kit.uri, '..', journalName);
    const known = this.#printed.get(uri.toString());
    if (known === undefined) {
      this.#printed.set(uri.toString(), none);
      void this.#read(uri);
    }
    return known ?? none;
  }

  dispose(): void {
    this.#disposables.dispose();
  }

  async #read(uri: vscode.Uri): Promise<void> {
    const before = this.#printed.get(uri.toString()) ?? none;
    const now = await printedIn(uri);
    if (this.#disposables.disposed) return;
    this.#printed.set(uri.toString(), now);
    if (before.size + now.size > 0) this.#changed.fire();
  }
}

/** None where there is no journal, or none that can be read. */
async function printedIn(uri: vscode.Uri): Promise<ReadonlySet<string>> {
  try {
    return printedParts(new TextDecoder().decode(await vscode.workspace.fs.readFile(uri)));
  } catch {
    return none;
  }
}
