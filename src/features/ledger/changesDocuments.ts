import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { changesScheme } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';

/** What changed between ledgers, as read-only documents that live as long as they are open. */
export class ChangesDocuments implements vscode.TextDocumentContentProvider, vscode.Disposable {
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<vscode.Uri>());
  readonly #texts = new Map<string, string>();
  readonly onDidChange = this.#changed.event;

  constructor() {
    this.#disposables.add(vscode.workspace.registerTextDocumentContentProvider(changesScheme, this));
    this.#disposables.add(
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#texts.delete(uri.toString())),
    );
  }

  /** One document for each kit and pair of names. */
  put(kit: Kit, name: string, markdown: string): vscode.Uri {
    const path = `/${name.replaceAll('/', '∕')}.md`;
    const uri = vscode.Uri.from({ scheme: changesScheme, path, query: kit.uri.toString() });
    this.#texts.set(uri.toString(), markdown);
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
