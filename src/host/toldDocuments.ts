import * as vscode from 'vscode';
import { escapeMarkdown } from '../core/explain/escapeMarkdown.ts';
import { Disposables } from './disposables.ts';
import { failureOf, failureText } from './failureText.ts';
import type { Kit } from './kits.ts';
import type { Services } from './services.ts';
import { showMarkdown } from './showMarkdown.ts';

/** Asks the engine for the Markdown that a document of this name shows of a kit. */
export type Tell = (kit: Kit, name: string, signal: AbortSignal) => Promise<string>;

/**
 * What the engine tells of kits, as read-only documents of one scheme. One that a window brings back after a reload
 * has lost its text and is made again when it is asked for.
 */
export class ToldDocuments implements vscode.TextDocumentContentProvider, vscode.Disposable {
  readonly #services: Services;
  readonly #scheme: string;
  readonly #tell: Tell;
  readonly #disposables = new Disposables();
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<vscode.Uri>());
  readonly #texts = new Map<string, string>();
  readonly onDidChange = this.#changed.event;

  constructor(services: Services, scheme: string, tell: Tell) {
    this.#services = services;
    this.#scheme = scheme;
    this.#tell = tell;
    this.#disposables.add(vscode.workspace.registerTextDocumentContentProvider(scheme, this));
    this.#disposables.add(
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#texts.delete(uri.toString())),
    );
  }

  /** Opens the document of that name, rendered, with this text from now on. */
  async show(kit: Kit, name: string, markdown: string): Promise<void> {
    const uri = vscode.Uri.from({ scheme: this.#scheme, path: `/${name}.md`, query: kit.uri.toString() });
    this.#texts.set(uri.toString(), markdown);
    this.#changed.fire(uri);
    await showMarkdown(this.#services, uri);
  }

  async provideTextDocumentContent(uri: vscode.Uri, token: vscode.CancellationToken): Promise<string> {
    return this.#texts.get(uri.toString()) ?? (await this.#toldAgain(uri, token));
  }

  dispose(): void {
    this.#disposables.dispose();
  }

  /** The address may have been written by anyone: it names a kit of this window, or nothing. */
  async #toldAgain(uri: vscode.Uri, token: vscode.CancellationToken): Promise<string> {
    const { kits, engine } = this.#services;
    await kits.found;
    const kit = kits.get(vscode.Uri.parse(uri.query));
    if (kit === null || !engine.allowed) return 'This is not in a trusted kit of this window.';
    const controller = new AbortController();
    const subscription = token.onCancellationRequested(() => controller.abort());
    try {
      return await this.#tell(kit, uri.path.slice(1).replace(/\.md$/, ''), controller.signal);
    } catch (error) {
      const failure = failureOf(error);
      return failure === null ? 'Cancelled.' : escapeMarkdown(failureText(failure));
    } finally {
      subscription.dispose();
    }
  }
}
