import * as vscode from 'vscode';
import { readConfig } from '../../host/config.ts';
import { toRange } from '../../host/diagnostics.ts';
import { Disposables } from '../../host/disposables.ts';
import { viewTypes } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { numberedFlags } from '../../host/numberedFlags.ts';
import { revealManifest } from '../../host/revealManifest.ts';
import type { Services } from '../../host/services.ts';
import { TurntableView } from '../../host/turntableView.ts';
import { webviewRoots } from '../../host/webviewHtml.ts';
import type { Look } from '../../protocol/look.ts';
import type { PartView } from '../../protocol/partView.ts';
import type { Side } from './chooseSides.ts';
import type { ChangedPart } from './showBoth.ts';
import { type PartPlaces, type SidePart, sidePart } from './sidePart.ts';

export interface SideOptions extends ChangedPart {
  readonly column: vscode.ViewColumn;
  /** The other one takes its first look from it. */
  readonly leads: boolean;
  onLook(look: Look): void;
}

/** A part as one side of a comparison has it, to be looked at only. What lies in the folder follows its edits. */
export class SideTurntable implements vscode.Disposable {
  readonly #services: Services;
  readonly #kit: Kit;
  readonly #places: PartPlaces;
  readonly #side: Side;
  readonly #part: string;
  readonly #panel: vscode.WebviewPanel;
  readonly #view: TurntableView;
  readonly #disposables = new Disposables();
  #opened: SidePart | null = null;
  #timer: NodeJS.Timeout | undefined;

  constructor(services: Services, kit: Kit, places: PartPlaces, side: Side, options: SideOptions) {
    this.#services = services;
    this.#kit = kit;
    this.#places = places;
    this.#side = side;
    this.#part = options.part;
    const { part, changes, column, leads } = options;
    this.#panel = vscode.window.createWebviewPanel(
      viewTypes.besides,
      `${part}: ${side.short}`,
      { viewColumn: column, preserveFocus: !leads },
      { enableScripts: true, localResourceRoots: webviewRoots(services.context.extensionUri) },
    );
    const nothing = (): void => {};
    this.#view = this.#disposables.add(
      new TurntableView(services, this.#panel.webview, 'Turntable', {
        revealFinding: (number) => this.#revealFinding(number),
        revealOpening: nothing,
        makeReady: nothing,
        edit: null,
        closePoses: nothing,
        looked: options.onLook,
      }),
    );
    const title = `${part}: ${side.revision === null ? side.short : side.name}`;
    this.#view.standBeside({ title, changes, leads });
    this.#disposables.add(
      this.#panel.onDidChangeViewState(() => {
        if (!this.#panel.visible) this.#view.pageIsGone();
      }),
    );
    if (side.revision === null) this.#followFolder();
    void this.#load();
  }

  onDidClose(act: () => void): void {
    this.#disposables.add(this.#panel.onDidDispose(act));
  }

  follow(look: Look): void {
    this.#view.follow(look);
  }

  dispose(): void {
    clearTimeout(this.#timer);
    this.#disposables.dispose();
    this.#opened?.dispose();
    this.#panel.dispose();
  }

  #followFolder(): void {
    const { kits, diagnostics } = this.#services;
    const mine = (act: () => void) => (kit: Kit) => {
      if (kit === this.#kit) act();
    };
    const changed = mine(() => this.#loadSoon());
    this.#disposables.add(kits.onDidChange(({ kit }) => changed(kit)));
    this.#disposables.add(kits.onDidChangePartFile(changed));
    this.#disposables.add(diagnostics.onDidChange(mine(() => this.#view.dressAgain())));
  }

  #loadSoon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#load(), readConfig().checkDelayMs);
  }

  async #load(): Promise<void> {
    const opened = await sidePart(this.#places, this.#kit, this.#side, this.#part);
    this.#opened?.dispose();
    this.#opened = null;
    if (this.#disposables.disposed) {
      if (opened.ok) opened.value.dispose();
      return;
    }
    const part = this.#part;
    if (!opened.ok) return this.#view.tell({ kind: 'failure', part, error: opened.error });
    this.#opened = opened.value;
    await this.#view.load({
      name: part,
      source: { of: 'kit', part, ...opened.value.source },
      editable: false,
      dress: (view) => this.#numbered(view),
    });
  }

  /** What lies in the folder has its findings in Problems, and their numbers; a revision has its own. */
  #numbered(view: PartView): PartView {
    if (this.#side.revision !== null) return view;
    const findings = this.#services.diagnostics.of(this.#kit).filter(({ part }) => part === view.part);
    return { ...view, flags: numberedFlags(view.flags, findings) };
  }

  #revealFinding(number: number): void {
    if (this.#side.revision !== null) return;
    const finding = this.#services.diagnostics.of(this.#kit).find((shown) => shown.number === number);
    if (finding !== undefined) void revealManifest(this.#kit, toRange(finding));
  }
}
