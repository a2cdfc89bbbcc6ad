import * as vscode from 'vscode';
import { readConfig } from '../../host/config.ts';
import { toRange } from '../../host/diagnostics.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, viewTypes } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { type KitTarget, partAtOffset, resolveTarget } from '../../host/kitTarget.ts';
import { revealManifest } from '../../host/revealManifest.ts';
import type { Services } from '../../host/services.ts';
import { webviewRoots } from '../../host/webviewHtml.ts';
import { TurntablePanel } from './turntablePanel.ts';

const cursorDelayMs = 150;

/** One turntable per kit, beside the manifest; it follows the cursor and survives a reload. */
export function registerTurntable(services: Services): vscode.Disposable {
  return new Turntables(services);
}

class Turntables implements vscode.Disposable {
  readonly #services: Services;
  readonly #disposables = new Disposables();
  readonly #panels = new Map<string, TurntablePanel>();
  #cursorTimer: NodeJS.Timeout | undefined;

  constructor(services: Services) {
    this.#services = services;
    const add = <T extends vscode.Disposable>(item: T) => this.#disposables.add(item);
    add(vscode.commands.registerCommand(commandIds.openTurntable, (argument) => this.#open(argument)));
    add(vscode.commands.registerCommand(commandIds.showFlag, (kit, number) => this.#showFlag(kit, number)));
    add(
      vscode.window.registerWebviewPanelSerializer(viewTypes.turntable, {
        deserializeWebviewPanel: (panel) => this.#restore(panel),
      }),
    );
    add(vscode.window.onDidChangeTextEditorSelection((event) => this.#cursorMoved(event)));
    add(
      services.poses.onDidPropose(({ kit, poses }) => (this.#of(kit) ?? this.#create(kit)).showPoses(poses)),
    );
    add(services.kits.onDidChange(({ kit }) => this.#of(kit)?.refreshSoon()));
    add(services.kits.onDidHurry((kit) => this.#of(kit)?.refreshNow()));
    add(services.kits.onDidChangePartFile((kit) => this.#of(kit)?.refreshSoon()));
    add(services.diagnostics.onDidChange((kit) => this.#of(kit)?.findingsChanged()));
    add(services.kits.onDidRemove((kit) => this.#of(kit)?.kitIsGone()));
    add(vscode.workspace.onDidGrantWorkspaceTrust(() => this.#each((panel) => panel.refreshSoon())));
  }

  dispose(): void {
    clearTimeout(this.#cursorTimer);
    this.#each((panel) => panel.dispose());
    this.#disposables.dispose();
  }

  #each(act: (panel: TurntablePanel) => void): void {
    for (const panel of [...this.#panels.values()]) act(panel);
  }

  #of(kit: Kit): TurntablePanel | undefined {
    return this.#panels.get(kit.uri.toString());
  }

  #open(argument: unknown): TurntablePanel | null {
    const target = resolveTarget(this.#services.kits, argument);
    if (target === null) {
      void vscode.window.showInformationMessage('Open a folder with a kit.yaml first.');
      return null;
    }
    const panel = this.#of(target.kit) ?? this.#create(target.kit);
    panel.show(target.part);
    return panel;
  }

  #create(kit: Kit): TurntablePanel {
    const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
    const panel = vscode.window.createWebviewPanel(viewTypes.turntable, 'Turntable', beside, {
      enableScripts: true,
      localResourceRoots: webviewRoots(this.#services.context.extensionUri),
    });
    return this.#adopt(panel, kit);
  }

  #adopt(webviewPanel: vscode.WebviewPanel, kit: Kit): TurntablePanel {
    const key = kit.uri.toString();
    const panel = new TurntablePanel(this.#services, webviewPanel, kit);
    this.#panels.set(key, panel);
    webviewPanel.onDidDispose(() => {
      if (this.#panels.get(key) === panel) this.#panels.delete(key);
      panel.dispose();
    });
    return panel;
  }

  /** The kit is known by the panel's title, which VS Code keeps; see `TurntablePanel.show`. */
  async #restore(webviewPanel: vscode.WebviewPanel): Promise<void> {
    await this.#services.kits.found;
    const remembered = TurntablePanel.remembered(this.#services.context, webviewPanel.title);
    const kit = remembered === null ? null : this.#services.kits.get(vscode.Uri.parse(remembered.kit));
    if (remembered === null || kit === null || this.#of(kit) !== undefined) return webviewPanel.dispose();
    this.#adopt(webviewPanel, kit).show(remembered.part);
  }

  async #showFlag(kitText: unknown, number: unknown): Promise<void> {
    if (typeof kitText !== 'string' || typeof number !== 'number') return;
    const kit = this.#services.kits.get(vscode.Uri.parse(kitText));
    if (kit === null) return;
    const finding = this.#services.diagnostics.of(kit).find((shown) => shown.number === number);
    if (finding === undefined) return;
    if (finding.part === null) return revealManifest(kit, toRange(finding));
    const target: KitTarget = { kit: kitText, part: finding.part };
    this.#open(target)?.revealFlag(number);
  }

  #cursorMoved(event: vscode.TextEditorSelectionChangeEvent): void {
    const kit = this.#services.kits.get(event.textEditor.document.uri);
    const panel = kit === null ? undefined : this.#of(kit);
    if (kit === null || panel === undefined || !readConfig().followCursor) return;
    clearTimeout(this.#cursorTimer);
    this.#cursorTimer = setTimeout(() => {
      const part = partAtOffset(kit, event.textEditor.document.offsetAt(event.textEditor.selection.active));
      if (part !== null) panel.follow(part);
    }, cursorDelayMs);
  }
}
