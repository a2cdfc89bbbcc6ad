import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { failureOf, failureText } from '../../host/failureText.ts';
import { explainScheme } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';

/**
 * The explanations as read-only documents. One that a window brings back after a reload has lost its
 * text and is made again when it is asked for.
 */
export class ExplainedParts implements vscode.TextDocumentContentProvider, vscode.Disposable {
  readonly #services: Services;
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<vscode.Uri>());
  readonly #texts = new Map<string, string>();
  readonly onDidChange = this.#changed.event;

  constructor(services: Services) {
    this.#services = services;
    this.#disposables.add(vscode.workspace.registerTextDocumentContentProvider(explainScheme, this));
    this.#disposables.add(
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#texts.delete(uri.toString())),
    );
  }

  /** The document of that part, with this text from now on. */
  put(kit: Kit, part: string, markdown: string): vscode.Uri {
    const uri = vscode.Uri.from({ scheme: explainScheme, path: `/${part}.md`, query: kit.uri.toString() });
    this.#texts.set(uri.toString(), markdown);
    this.#changed.fire(uri);
    return uri;
  }

  async provideTextDocumentContent(uri: vscode.Uri, token: vscode.CancellationToken): Promise<string> {
    return this.#texts.get(uri.toString()) ?? (await this.#explained(uri, token));
  }

  dispose(): void {
    this.#disposables.dispose();
  }

  /** The address may have been written by anyone: it names a kit of this window, or nothing. */
  async #explained(uri: vscode.Uri, token: vscode.CancellationToken): Promise<string> {
    const { kits, engine } = this.#services;
    await kits.found;
    const kit = kits.get(vscode.Uri.parse(uri.query));
    if (kit === null || !engine.allowed) return 'This part is not in a trusted kit of this window.';
    const part = uri.path.slice(1).replace(/\.md$/, '');
    const controller = new AbortController();
    const subscription = token.onCancellationRequested(() => controller.abort());
    try {
      const { signal } = controller;
      return (await engine.call('explain', { ...kit.source, part, noCache: false }, { signal })).markdown;
    } catch (error) {
      const failure = failureOf(error);
      return failure === null ? 'Cancelled.' : failureText(failure);
    } finally {
      subscription.dispose();
    }
  }
}
