import path from 'node:path';
import * as vscode from 'vscode';
import { readConfig } from '../../host/config.ts';
import { Disposables } from '../../host/disposables.ts';
import { failureOf } from '../../host/failureText.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { targetOf } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { SurfaceFeed } from '../../host/surfaceFeed.ts';
import { webviewHtml, webviewRoots } from '../../host/webviewHtml.ts';
import { connectWebview } from '../../host/webviewPeer.ts';
import type { KitSurfaceProgress } from '../../protocol/engineApi.ts';
import type { KitHostMethods, KitPageMethods, KitViewState } from '../../protocol/kitMessages.ts';
import type { Handlers, Peer } from '../../protocol/rpc.ts';
import { type KnownPart, kitPicture } from './kitPicture.ts';

const memoryPrefix = 'kit:';

/** The page of one whole kit: what is known of its parts, and their light surfaces. */
export class KitPanel implements vscode.Disposable {
  readonly #services: Services;
  readonly #panel: vscode.WebviewPanel;
  #kit: Kit;
  readonly #peer: Peer<KitPageMethods>;
  readonly #surfaces: SurfaceFeed;
  readonly #disposables = new Disposables();
  readonly #shapes = new Map<string, NonNullable<KnownPart['shape']>>();
  /** What the shapes were asked for with; null = to be asked again. */
  #askedFor: string | null = null;
  #asking: AbortController | null = null;
  #timer: NodeJS.Timeout | undefined;
  #gone = false;

  constructor(services: Services, panel: vscode.WebviewPanel, kit: Kit) {
    this.#services = services;
    this.#panel = panel;
    this.#kit = kit;
    this.#peer = connectWebview<KitPageMethods, KitHostMethods>(panel.webview, this.#handlers());
    this.#surfaces = new SurfaceFeed((piece) => this.#peer.call('surface', piece), this.#failed);
    const { extensionUri } = services.context;
    panel.title = titleOf(services, kit);
    void services.context.workspaceState.update(memoryPrefix + panel.title, kit.uri.toString());
    panel.webview.options = { enableScripts: true, localResourceRoots: webviewRoots(extensionUri) };
    panel.webview.html = webviewHtml(panel.webview, extensionUri, { bundle: 'kit', title: 'Kit' });
    this.#disposables.add(services.states.onDidChange(() => this.#tell()));
    this.#disposables.add(
      panel.onDidChangeViewState(() => {
        if (!panel.visible) this.#surfaces.end();
      }),
    );
    this.#ask();
  }

  /** Address of the kit that a panel of that title showed before the window was reloaded. */
  static remembered(context: vscode.ExtensionContext, title: string): string | null {
    return context.workspaceState.get<string>(memoryPrefix + title) ?? null;
  }

  reveal(): void {
    this.#panel.reveal();
  }

  /** The manifest or a part's file is another: what is drawn may be, too. */
  changed(fileToo: boolean): void {
    if (fileToo) this.#askedFor = null;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#ask(), readConfig().checkDelayMs);
  }

  kitIsGone(): void {
    this.#gone = true;
    this.#asking?.abort();
    this.#tell();
  }

  /** The manifest came back: for the workspace that is another kit of the same address. */
  kitIsBack(kit: Kit): void {
    this.#kit = kit;
    this.#gone = false;
    this.#askedFor = null;
    this.#tell();
    this.#ask();
  }

  dispose(): void {
    clearTimeout(this.#timer);
    this.#asking?.abort();
    this.#peer.close({ code: 'cancelled', message: 'The kit was closed.' });
    this.#disposables.dispose();
    this.#panel.dispose();
  }

  #state(): KitViewState {
    const { manifest } = this.#kit.parsed;
    if (this.#gone) return empty('The kit.yaml of this kit is no longer there.');
    if (manifest === null) return empty('kit.yaml cannot be read. Problems says where; mend it there.');
    if (manifest.parts.length === 0)
      return empty('The kit has no parts yet. Add one under “parts:” in kit.yaml.');
    if (!this.#services.engine.allowed)
      return empty(
        'This folder is not trusted, so its parts are not read. Run “Workspaces: Manage Workspace Trust” to allow it.',
      );
    const { states, parts } = this.#services;
    const name = manifest.kit || path.basename(this.#kit.dir);
    const kit = kitPicture(name, manifest.parts, manifest.resins, (part) => ({
      state: states.of(this.#kit, part),
      report: parts.of(this.#kit, part).report,
      shape: this.#shapes.get(part),
    }));
    return { kind: 'kit', kit };
  }

  #tell(): void {
    const state = this.#state();
    const keys = state.kind === 'kit' ? state.kit.parts.flatMap(({ key }) => key ?? []) : [];
    // What a slip of the pen drops is asked for again once it is mended.
    if (this.#surfaces.keepOnly(keys)) this.#askedFor = null;
    if (this.#surfaces.listening) this.#peer.call('show', state).catch(this.#failed);
  }

  /** Asks the engine for the parts' surfaces, when anything they depend on may be otherwise. */
  #ask(): void {
    const { manifest } = this.#kit.parsed;
    if (manifest === null || !this.#services.engine.allowed) return;
    const { factor } = manifest.scale;
    const shapes = manifest.parts.map(({ name, file, cuts }) => [name, file, cuts]);
    const asked = JSON.stringify([factor, manifest.limits.triangles, shapes]);
    if (asked === this.#askedFor) return;
    this.#askedFor = asked;
    this.#asking?.abort();
    this.#asking = new AbortController();
    void this.#fetch(this.#asking.signal);
  }

  async #fetch(signal: AbortSignal): Promise<void> {
    const params = { ...this.#kit.source, held: this.#surfaces.whole(), noCache: false };
    const before = new Set(this.#shapes.keys());
    const onProgress = (progress: KitSurfaceProgress): void => {
      if (signal.aborted) return;
      if (progress.kind === 'shape') this.#shapes.set(progress.part, { key: progress.key });
      else if (progress.kind === 'shapeless') this.#shapes.set(progress.part, { problem: progress.message });
      else if (progress.kind === 'surface') this.#surfaces.add(progress.piece);
      if (progress.kind !== 'shape' && progress.kind !== 'shapeless') return;
      before.delete(progress.part);
      this.#tell();
    };
    try {
      await this.#services.engine.call('kitSurfaces', params, { signal, onProgress });
      for (const part of before) this.#shapes.delete(part);
      if (before.size > 0) this.#tell();
    } catch (error) {
      // What broke may go well the next time.
      if (!signal.aborted) this.#askedFor = null;
      this.#failed(error);
    }
  }

  readonly #failed = (error: unknown): void => {
    const failure = failureOf(error);
    if (failure !== null) this.#services.log.error(`kit: ${failure.message}`);
  };

  #handlers(): Handlers<KitHostMethods> {
    const run = async (command: string, part: string): Promise<null> => {
      const known = this.#kit.parts.some(({ name }) => name === part);
      if (known) await vscode.commands.executeCommand(command, targetOf(this.#kit, part));
      return null;
    };
    return {
      ready: async () => {
        this.#peer.call('show', this.#state()).catch(this.#failed);
        this.#surfaces.begin();
        return null;
      },
      goToPart: ({ part }) => run(commandIds.goToPart, part),
      showPart: ({ part }) => run(commandIds.openTurntable, part),
    };
  }
}

function titleOf({ kits }: Services, kit: Kit): string {
  const name = kit.parsed.manifest?.kit;
  const folder = path.basename(kit.dir);
  if (!name) return `Kit: ${folder}`;
  return kits.all().length > 1 ? `Kit: ${name} (${folder})` : `Kit: ${name}`;
}

const empty = (hint: string): KitViewState => ({ kind: 'empty', hint });
