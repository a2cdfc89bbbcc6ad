import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, viewTypes } from '../../host/ids.ts';
import { partOfFile } from '../../host/kits.ts';
import { targetOf } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { TurntableView } from '../../host/turntableView.ts';
import { type LocalCopy, localCopy } from './localCopy.ts';

/** Shows any STL on the turntable, read-only; also one that a `git:` or other virtual document holds. */
export function registerStlEditor(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  disposables.add(
    vscode.window.registerCustomEditorProvider(viewTypes.stl, new StlEditorProvider(services), {
      supportsMultipleEditorsPerDocument: true,
    }),
  );
  disposables.add(
    vscode.commands.registerCommand(commandIds.showStl, (uri: unknown) => showStl(services, uri)),
  );
  return disposables;
}

/** A part's file opens the kit's turntable, with its pose and openings; any other file the editor. */
async function showStl(services: Services, uri: unknown): Promise<void> {
  if (!(uri instanceof vscode.Uri)) return;
  await services.kits.found;
  const kit = services.kits.holding(uri);
  const part = kit === null ? null : partOfFile(kit, uri);
  if (kit !== null && part !== null) {
    await vscode.commands.executeCommand(commandIds.openTurntable, targetOf(kit, part));
  } else {
    await vscode.commands.executeCommand('vscode.openWith', uri, viewTypes.stl);
  }
}

interface StlDocument extends vscode.CustomDocument {
  readonly uri: vscode.Uri;
}

class StlEditorProvider implements vscode.CustomReadonlyEditorProvider<StlDocument> {
  readonly #services: Services;

  constructor(services: Services) {
    this.#services = services;
  }

  openCustomDocument(uri: vscode.Uri): StlDocument {
    return { uri, dispose: () => {} };
  }

  resolveCustomEditor(document: StlDocument, panel: vscode.WebviewPanel): void {
    const editor = new StlEditor(this.#services, document.uri, panel);
    panel.onDidDispose(() => editor.dispose());
  }
}

const reloadDelayMs = 300;

class StlEditor implements vscode.Disposable {
  readonly #services: Services;
  readonly #uri: vscode.Uri;
  readonly #view: TurntableView;
  readonly #disposables = new Disposables();
  #copy: LocalCopy | null = null;
  #reloadTimer: NodeJS.Timeout | undefined;

  constructor(services: Services, uri: vscode.Uri, panel: vscode.WebviewPanel) {
    this.#services = services;
    this.#uri = uri;
    const nothing = () => {};
    this.#view = this.#disposables.add(
      new TurntableView(services, panel.webview, this.#name, {
        revealFinding: nothing,
        revealOpening: nothing,
        edit: null,
        closePoses: nothing,
        makeReady: nothing,
        looked: nothing,
      }),
    );
    this.#disposables.add(
      panel.onDidChangeViewState(() => {
        if (!panel.visible) this.#view.pageIsGone();
      }),
    );
    this.#disposables.add(vscode.workspace.onDidGrantWorkspaceTrust(() => this.#reloadSoon()));
    this.#watch();
    void this.#load();
  }

  dispose(): void {
    clearTimeout(this.#reloadTimer);
    this.#disposables.dispose();
    this.#copy?.dispose();
  }

  get #name(): string {
    return this.#uri.path.split('/').at(-1) ?? this.#uri.path;
  }

  #watch(): void {
    const pattern = new vscode.RelativePattern(vscode.Uri.joinPath(this.#uri, '..'), this.#name);
    if (this.#uri.scheme !== 'file') return;
    const watcher = this.#disposables.add(vscode.workspace.createFileSystemWatcher(pattern));
    for (const event of [watcher.onDidChange, watcher.onDidCreate, watcher.onDidDelete]) {
      this.#disposables.add(event(() => this.#reloadSoon()));
    }
  }

  #reloadSoon(): void {
    clearTimeout(this.#reloadTimer);
    this.#reloadTimer = setTimeout(() => void this.#load(), reloadDelayMs);
  }

  async #load(): Promise<void> {
    const copy = await localCopy(this.#uri, this.#services.context.globalStorageUri);
    this.#copy?.dispose();
    this.#copy = null;
    if (this.#disposables.disposed) {
      if (copy.ok) copy.value.dispose();
      return;
    }
    if (!copy.ok) return this.#view.tell({ kind: 'failure', part: this.#name, error: copy.error });
    this.#copy = copy.value;
    const source = { of: 'file', file: copy.value.path, ...asItStands } as const;
    await this.#view.load({ name: this.#name, source, editable: false, dress: (view) => view });
  }
}

/** What `inspect` assumes of a mesh without a manifest. */
const asItStands = {
  factor: 1,
  turn: [0, 0, 0] as const,
  raise: 0,
  wall: null,
  layer: 0.05,
};
