import path from 'node:path';
import * as vscode from 'vscode';
import type { Part } from '../core/kit/manifest.ts';
import { type ParsedManifest, parseManifest } from '../core/kit/parseManifest.ts';
import type { CheckReport } from '../core/kit/report.ts';
import type { KitSource } from '../protocol/engineApi.ts';
import { Disposables } from './disposables.ts';
import { contextIds, manifestName } from './ids.ts';
import type { TextChange } from './textShift.ts';

/** One kit folder of the workspace: its manifest as it stands in the editor, else on disk. */
export class Kit {
  readonly uri: vscode.Uri;
  readonly dir: string;
  #text: string;
  #parsed: ParsedManifest | null = null;
  /** The engine's last answer, and the text it is about. */
  report: { readonly value: CheckReport; readonly text: string } | null = null;

  constructor(uri: vscode.Uri, text: string) {
    this.uri = uri;
    this.dir = path.dirname(uri.fsPath);
    this.#text = text;
  }

  get text(): string {
    return this.#text;
  }

  get parsed(): ParsedManifest {
    this.#parsed ??= parseManifest(this.#text);
    return this.#parsed;
  }

  /** Empty when the text cannot be read as a manifest. */
  get parts(): readonly Part[] {
    return this.parsed.manifest?.parts ?? [];
  }

  get source(): KitSource {
    return { kitDir: this.dir, manifestText: this.#text };
  }

  /** True when the report is about the text as it stands. */
  get reportIsCurrent(): boolean {
    return this.report?.text === this.#text;
  }

  setText(text: string): boolean {
    if (text === this.#text) return false;
    this.#text = text;
    this.#parsed = null;
    return true;
  }
}

export interface KitChange {
  readonly kit: Kit;
  /** The edits as typed; null when the whole text was replaced. */
  readonly changes: readonly TextChange[] | null;
}

const mostKits = 200;
const skippedFolders = '**/{node_modules,.git,.kitwright}/**';

/** Knows every kit of the workspace and tells when one appears, changes or goes. */
export class KitService implements vscode.Disposable {
  readonly #kits = new Map<string, Kit>();
  readonly #disposables = new Disposables();
  readonly #added = this.#disposables.add(new vscode.EventEmitter<Kit>());
  readonly #changed = this.#disposables.add(new vscode.EventEmitter<KitChange>());
  readonly #partFileChanged = this.#disposables.add(new vscode.EventEmitter<Kit>());
  readonly #hurried = this.#disposables.add(new vscode.EventEmitter<Kit>());
  readonly #reported = this.#disposables.add(new vscode.EventEmitter<Kit>());
  readonly #removed = this.#disposables.add(new vscode.EventEmitter<Kit>());
  #lastActive: Kit | null = null;
  #find: Promise<void> | null = null;

  readonly onDidAdd = this.#added.event;
  readonly onDidChange = this.#changed.event;
  readonly onDidChangePartFile = this.#partFileChanged.event;
  /** A change that is finished, unlike typing: what follows from it is wanted at once. */
  readonly onDidHurry = this.#hurried.event;
  readonly onDidReport = this.#reported.event;
  readonly onDidRemove = this.#removed.event;

  constructor() {
    const { workspace } = vscode;
    const add = <T extends vscode.Disposable>(item: T) => this.#disposables.add(item);
    add(workspace.onDidOpenTextDocument((document) => this.#opened(document)));
    add(workspace.onDidChangeTextDocument((event) => this.#edited(event)));
    add(workspace.onDidCloseTextDocument((document) => void this.#refresh(document.uri)));
    const manifests = add(workspace.createFileSystemWatcher(`**/${manifestName}`));
    add(manifests.onDidCreate((uri) => void this.#refresh(uri)));
    add(manifests.onDidChange((uri) => void this.#refresh(uri)));
    add(manifests.onDidDelete((uri) => void this.#refresh(uri)));
    // Deleting a folder is told once, for the folder: no pattern of file names matches it.
    const deletes = add(workspace.createFileSystemWatcher('**', true, true, false));
    add(deletes.onDidDelete((uri) => this.#deletedFolder(uri)));
    const parts = add(workspace.createFileSystemWatcher('**/*.[sS][tT][lL]'));
    for (const event of [parts.onDidCreate, parts.onDidChange, parts.onDidDelete]) {
      add(event((uri) => this.#partFile(uri)));
    }
  }

  /** Settles when the workspace has been searched for kits. */
  get found(): Promise<void> {
    this.#find ??= this.#search();
    return this.#find;
  }

  async #search(): Promise<void> {
    for (const document of vscode.workspace.textDocuments) this.#opened(document);
    const uris = await vscode.workspace.findFiles(`**/${manifestName}`, skippedFolders, mostKits);
    await Promise.all(uris.map((uri) => this.#refresh(uri)));
    void vscode.commands.executeCommand('setContext', contextIds.searched, true);
  }

  all(): Kit[] {
    return [...this.#kits.values()];
  }

  get(uri: vscode.Uri): Kit | null {
    return this.#kits.get(uri.toString()) ?? null;
  }

  /** The kit of the active editor, else the one last active, else the only or first one. */
  active(): Kit | null {
    const document = vscode.window.activeTextEditor?.document;
    const current = document === undefined ? null : this.get(document.uri);
    if (current !== null) this.#lastActive = current;
    if (this.#lastActive !== null && this.get(this.#lastActive.uri) !== null) return this.#lastActive;
    return this.all()[0] ?? null;
  }

  /** The kit whose folder holds the file: the innermost one. */
  holding(file: vscode.Uri): Kit | null {
    const inside = this.all().filter((kit) => isInside(kit.dir, file.fsPath));
    return inside.sort((a, b) => b.dir.length - a.dir.length)[0] ?? null;
  }

  setReport(kit: Kit, value: CheckReport, text: string): void {
    kit.report = { value, text };
    this.#reported.fire(kit);
  }

  /** Call after an edit that nobody is typing on. */
  hurry(kit: Kit): void {
    this.#hurried.fire(kit);
  }

  dispose(): void {
    this.#disposables.dispose();
  }

  #opened(document: vscode.TextDocument): void {
    if (isManifest(document.uri)) this.#take(document.uri, document.getText(), null);
  }

  #edited(event: vscode.TextDocumentChangeEvent): void {
    if (!isManifest(event.document.uri) || event.contentChanges.length === 0) return;
    this.#take(event.document.uri, event.document.getText(), event.contentChanges);
  }

  /**
   * Reads the manifest again: from its open editor, else from disk; gone when neither has it. Watchers
   * tell late and sometimes wrongly, so no event is believed without a look.
   */
  async #refresh(uri: vscode.Uri): Promise<void> {
    if (!isManifest(uri)) return;
    const open = vscode.workspace.textDocuments.find(
      (document) => !document.isClosed && document.uri.toString() === uri.toString(),
    );
    if (open !== undefined) return this.#take(uri, open.getText(), null);
    const text = await readText(uri);
    if (this.#disposables.disposed) return;
    if (text === null) this.#remove(uri);
    else this.#take(uri, text, null);
  }

  #take(uri: vscode.Uri, text: string, changes: readonly TextChange[] | null): void {
    const known = this.get(uri);
    if (known !== null) {
      if (known.setText(text)) this.#changed.fire({ kit: known, changes });
      return;
    }
    const kit = new Kit(uri, text);
    this.#kits.set(uri.toString(), kit);
    this.#tellContext();
    this.#added.fire(kit);
  }

  #remove(uri: vscode.Uri): void {
    const kit = this.get(uri);
    if (kit === null) return;
    this.#kits.delete(uri.toString());
    this.#tellContext();
    this.#removed.fire(kit);
  }

  #deletedFolder(uri: vscode.Uri): void {
    for (const kit of this.all()) if (isInside(uri.fsPath, kit.uri.fsPath)) void this.#refresh(kit.uri);
  }

  #partFile(uri: vscode.Uri): void {
    const kit = this.holding(uri);
    if (kit !== null && partOfFile(kit, uri) !== null) this.#partFileChanged.fire(kit);
  }

  #tellContext(): void {
    void vscode.commands.executeCommand('setContext', contextIds.hasKit, this.#kits.size > 0);
  }
}

/** The name of the part that is made from the file; null when none is. */
export function partOfFile(kit: Kit, file: vscode.Uri): string | null {
  const relative = path.relative(kit.dir, file.fsPath).split(path.sep).join('/');
  const sameFile = (written: string | null) => written !== null && path.posix.normalize(written) === relative;
  return kit.parts.find((part) => sameFile(part.file))?.name ?? null;
}

export function isManifest(uri: vscode.Uri): boolean {
  return uri.scheme === 'file' && path.basename(uri.fsPath) === manifestName;
}

function isInside(folder: string, file: string): boolean {
  const relative = path.relative(folder, file);
  return relative !== '' && !relative.startsWith('..') && !path.isAbsolute(relative);
}

async function readText(uri: vscode.Uri): Promise<string | null> {
  try {
    return new TextDecoder().decode(await vscode.workspace.fs.readFile(uri));
  } catch {
    return null;
  }
}
