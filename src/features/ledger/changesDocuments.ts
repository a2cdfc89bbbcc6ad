import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { changesScheme } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';

/** A preview does not keep its document open, so closing one tells nothing: the latest texts are kept. */
const mostTexts = 20;

/** What changed between ledgers, as read-only documents. */
export class ChangesDocuments implements vscode.TextDocumentContentProvider, vscode.Disposable {
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<vscode.Uri>());
  /** The latest last. */
  readonly #texts = new Map<string, string>();
  readonly onDidChange = this.#changed.event;

  constructor() {
    this.#disposables.add(vscode.workspace.registerTextDocumentContentProvider(changesScheme, this));
  }

  /** One document for each kit and pair of names. */
  put(kit: Kit, name: string, markdown: string): vscode.Uri {
    const path = `/${name.replaceAll('/', '∕')}.md`;
    const uri = vscode.Uri.from({ scheme: changesScheme, path, query: kit.uri.toString() });
    const key = uri.toString();
    this.#texts.delete(key);
    this.#texts.set(key, markdown);
    for (const old of [...this.#texts.keys()].slice(0, -mostTexts)) this.#texts.delete(old);
    this.#changed.fire(uri);
    return uri;
  }

  provideTextDocumentContent(uri: vscode.Uri): string {
    return (
      this.#texts.get(uri.toString()) ??
      'This comparison is no longer there. Run “Kitwright: Compare With…” again.'
    );
  }

  dispose(): void {
    this.#disposables.dispose();
  }
}
