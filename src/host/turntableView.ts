import * as vscode from 'vscode';
import type { PartSource, ViewProgress } from '../protocol/engineApi.ts';
import type { Beside, Look } from '../protocol/look.ts';
import { type PartScene, type PartView, surfaceKeys } from '../protocol/partView.ts';
import type { PoseChoice } from '../protocol/poseChoice.ts';
import { type Handlers, type Peer, RpcError } from '../protocol/rpc.ts';
import type { HostMethods, ViewState, WebviewMethods } from '../protocol/viewMessages.ts';
import { failureOf } from './failureText.ts';
import type { Services } from './services.ts';
import { SurfaceFeed } from './surfaceFeed.ts';
import { webviewHtml, webviewRoots } from './webviewHtml.ts';
import { connectWebview } from './webviewPeer.ts';

/** What the person does in the webview that reaches beyond it. */
export interface ViewActions {
  revealFinding(number: number): void;
  revealOpening(id: string): void;
  makeReady(): void;
  /** Null where nothing can be edited: a file without a manifest. */
  readonly edit: ViewEdits | null;
  /** Poses are out of sight again. */
  closePoses(): void;
  /** How the part is looked at now, where it stands beside another. */
  looked(look: Look): void;
}

/** Gestures that change the manifest, as they come from the page. */
export type ViewEdits = {
  readonly [K in EditMethod]: (
    params: HostMethods[K]['params'],
    signal: AbortSignal,
  ) => Promise<HostMethods[K]['result']>;
};

type EditMethod =
  | 'tryOpening'
  | 'putOpening'
  | 'removeOpening'
  | 'trySupport'
  | 'putSupport'
  | 'removeSupport'
  | 'markShow'
  | 'putLength'
  | 'takePose';

/** What a view is computed from, and how the engine's answer is made ready to be shown. */
export interface ViewRequest {
  readonly name: string;
  readonly source: PartSource;
  readonly editable: boolean;
  readonly dress: (view: PartView) => PartView;
}

/** One call of the engine; after the facts it goes on for as long as surfaces are refined. */
interface Loading {
  readonly name: string;
  readonly controller: AbortController;
  /** Set with the facts. */
  keys: readonly string[] | null;
}

const progressEveryMs = 100;

/**
 * The turntable in a webview, for a panel and for the STL editor alike. It owns the state that is
 * shown: the page is thrown away while hidden and gets the whole state when it is ready again.
 */
export class TurntableView implements vscode.Disposable {
  readonly #services: Services;
  readonly #peer: Peer<WebviewMethods>;
  #state: ViewState = { kind: 'empty', hint: '' };
  /** Before its facts are there. */
  #loading: Loading | null = null;
  /** After their facts: their surfaces are still on their way. */
  readonly #refining = new Set<Loading>();
  readonly #surfaces: SurfaceFeed;
  #pendingFlag: number | null = null;
  #poses: PoseChoice | null = null;
  /** They were asked for before there was a page to show them. */
  #posesWantFocus = false;
  #beside: Beside | null = null;
  readonly #looks = new Map<Look['kind'], Look>();
  #shown: { readonly request: ViewRequest; readonly view: PartView } | null = null;

  constructor(services: Services, webview: vscode.Webview, title: string, actions: ViewActions) {
    this.#services = services;
    this.#peer = connectWebview<WebviewMethods, HostMethods>(webview, this.#handlers(actions));
    this.#surfaces = new SurfaceFeed((piece) => this.#peer.call('surface', piece), this.#failed);
    const { extensionUri } = services.context;
    webview.options = { enableScripts: true, localResourceRoots: webviewRoots(extensionUri) };
    webview.html = webviewHtml(webview, extensionUri, { bundle: 'turntable', title });
  }

  /** How the part in sight is posed; null before that is known. */
  get scene(): PartScene | null {
    return sceneOf(this.#state);
  }

  get state(): ViewState {
    return this.#state;
  }

  /** Call when the page was hidden: it is gone, and sends `ready` when it comes back. */
  pageIsGone(): void {
    this.#surfaces.end();
  }

  /**
   * Computes the part and shows it. A load without facts yet is dropped; a view of the same part stays
   * up meanwhile, and so do surfaces that are still being refined for it.
   */
  async load(request: ViewRequest): Promise<void> {
    const { name, source } = request;
    this.#loading?.controller.abort();
    this.#stopRefining((refining) => refining.name !== name);
    if (!this.#services.engine.allowed) return this.tell(untrusted);
    const loading: Loading = { name, controller: new AbortController(), keys: null };
    this.#loading = loading;
    const { signal } = loading.controller;
    if (!this.#shows(name)) this.tell({ kind: 'working', part: name, stage: '', fraction: 0, scene: null });
    try {
      const promised = [...this.#refining].flatMap(({ keys }) => keys ?? []);
      const held = [...this.#surfaces.whole(), ...promised];
      const onProgress = this.#listener(request, loading);
      await this.#services.engine.call('view', { source, held, noCache: false }, { signal, onProgress });
    } catch (error) {
      const failure = failureOf(error);
      if (signal.aborted || failure === null) return;
      this.#services.log.error(`${name}: ${failure.code}: ${failure.message}`);
      // With the facts on the page, all that is missing is a finer picture.
      if (loading.keys === null) this.tell({ kind: 'failure', part: name, error: failure });
    } finally {
      if (this.#loading === loading) this.#loading = null;
      this.#refining.delete(loading);
    }
  }

  /** Shows the computed view anew, with nothing computed again. */
  dressAgain(): void {
    if (this.#shown === null) return;
    const { request, view } = this.#shown;
    this.tell({ kind: 'view', view: request.dress(view), editable: request.editable });
    this.#showPendingFlag();
  }

  tell(state: ViewState): void {
    if (state.kind !== 'view') this.#shown = null;
    this.#state = state;
    const scene = sceneOf(state);
    if (scene !== null) this.#surfaces.keepOnly(surfaceKeys(scene));
    else if (state.kind !== 'working') this.#surfaces.keepOnly([]);
    if (this.#surfaces.listening) this.#send('show', state);
  }

  /** Selects the flag now, or as soon as the view that is being computed stands. */
  revealFlag(number: number): void {
    this.#pendingFlag = number;
    this.#showPendingFlag();
  }

  /** Poses to choose from above the picture, until others or none are told. `focus`: the builder has just asked for them. */
  tellPoses(choice: PoseChoice | null, focus: boolean): void {
    if (choice === null && this.#poses === null) return;
    this.#poses = choice;
    this.#posesWantFocus = focus || (choice !== null && this.#posesWantFocus);
    if (this.#surfaces.listening) this.#sendPoses();
  }

  /** From now on it is named so, and tells how it is looked at. */
  standBeside(beside: Beside): void {
    this.#beside = beside;
    if (this.#surfaces.listening) this.#send('standBeside', beside);
  }

  /** Looks at the part as another turntable is looked at. */
  follow(look: Look): void {
    this.#looks.set(look.kind, look);
    if (this.#surfaces.listening) this.#send('follow', look);
  }

  #sendPoses(): void {
    this.#send('showPoses', { choice: this.#poses, focus: this.#posesWantFocus });
    this.#posesWantFocus = false;
  }

  dispose(): void {
    this.#loading?.controller.abort();
    this.#stopRefining(() => true);
    this.#peer.close({ code: 'cancelled', message: 'The turntable was closed.' });
  }

  #shows(name: string): boolean {
    return this.#state.kind === 'view' && this.#state.view.part === name;
  }

  #listener(request: ViewRequest, loading: Loading): (progress: ViewProgress) => void {
    const { name } = request;
    let last = 0;
    let scene: PartScene | null = null;
    return (progress) => {
      if (loading.controller.signal.aborted) return;
      if (progress.kind === 'view') this.#factsCame(request, progress.view, loading);
      else if (progress.kind === 'surface') this.#surfaces.add(progress.piece);
      if (loading.keys !== null || this.#shows(name)) return;
      if (progress.kind === 'scene') {
        scene = progress.scene;
        this.tell({ kind: 'working', part: name, stage: '', fraction: 0, scene });
      } else if (progress.kind === 'stage') {
        const now = performance.now();
        if (now - last < progressEveryMs) return;
        last = now;
        this.tell({ kind: 'working', part: name, stage: progress.stage, fraction: progress.fraction, scene });
      }
    };
  }

  #factsCame(request: ViewRequest, view: PartView, loading: Loading): void {
    const keys = surfaceKeys(view);
    loading.keys = keys;
    this.#loading = null;
    // What is on its way for another call is still needed, as long as it is of one of these surfaces.
    this.#stopRefining((refining) => !refining.keys?.some((key) => keys.includes(key)));
    this.#refining.add(loading);
    this.#shown = { request, view };
    this.dressAgain();
  }

  #stopRefining(which: (refining: Loading) => boolean): void {
    for (const refining of [...this.#refining].filter(which)) {
      refining.controller.abort();
      this.#refining.delete(refining);
    }
  }

  #showPendingFlag(): void {
    const number = this.#pendingFlag;
    if (number === null || !this.#surfaces.listening || this.#state.kind !== 'view') return;
    if (!this.#state.view.flags.some((flag) => flag.number === number)) return;
    this.#pendingFlag = null;
    this.#send('revealFlag', { number });
  }

  #send<K extends keyof WebviewMethods & string>(method: K, params: WebviewMethods[K]['params']): void {
    this.#peer.call(method, params).catch(this.#failed);
  }

  readonly #failed = (error: unknown): void => {
    const failure = failureOf(error);
    if (failure !== null) this.#services.log.error(`turntable: ${failure.message}`);
  };

  #handlers(actions: ViewActions): Handlers<HostMethods> {
    const act = (action: () => void) => async (): Promise<null> => {
      action();
      return null;
    };
    const edits = (): ViewEdits => {
      if (actions.edit === null) throw new RpcError(readOnly);
      return actions.edit;
    };
    return {
      ready: act(() => {
        if (this.#beside !== null) this.#send('standBeside', this.#beside);
        for (const look of this.#looks.values()) this.#send('follow', look);
        this.#send('show', this.#state);
        if (this.#poses !== null) this.#sendPoses();
        this.#surfaces.begin();
        this.#showPendingFlag();
      }),
      revealFinding: async ({ number }: { readonly number: number }) => {
        actions.revealFinding(number);
        return null;
      },
      revealOpening: async ({ id }: { readonly id: string }) => {
        actions.revealOpening(id);
        return null;
      },
      makeReady: act(() => actions.makeReady()),
      cancel: act(() => this.#cancel()),
      tryOpening: async (params, { signal }) => edits().tryOpening(params, signal),
      putOpening: async (params, { signal }) => edits().putOpening(params, signal),
      removeOpening: async (params, { signal }) => edits().removeOpening(params, signal),
      trySupport: async (params, { signal }) => edits().trySupport(params, signal),
      putSupport: async (params, { signal }) => edits().putSupport(params, signal),
      removeSupport: async (params, { signal }) => edits().removeSupport(params, signal),
      putLength: async (params, { signal }) => edits().putLength(params, signal),
      markShow: async (params, { signal }) => edits().markShow(params, signal),
      takePose: async (params, { signal }) => edits().takePose(params, signal),
      closePoses: act(() => actions.closePoses()),
      looked: async (look: Look) => {
        this.#looks.set(look.kind, look);
        actions.looked(look);
        return null;
      },
      copyText: async ({ text }: { readonly text: string }) => {
        await vscode.env.clipboard.writeText(text);
        return null;
      },
    };
  }

  #cancel(): void {
    this.#loading?.controller.abort();
    if (this.#state.kind === 'working') {
      this.tell({
        kind: 'empty',
        hint: `Stopped. Close and open the turntable to compute ${this.#state.part} again.`,
      });
    }
  }
}

function sceneOf(state: ViewState): PartScene | null {
  if (state.kind === 'view') return state.view;
  return state.kind === 'working' ? state.scene : null;
}

const readOnly = { code: 'part-unknown', message: 'Only a part of a kit can be edited here.' } as const;

const untrusted: ViewState = {
  kind: 'empty',
  hint: 'This folder is not trusted, so its parts are not read. Run “Workspaces: Manage Workspace Trust” to allow it.',
};
