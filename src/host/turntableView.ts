import * as vscode from 'vscode';
import type { EngineProgress, PartSource } from '../protocol/engineApi.ts';
import type { PartView } from '../protocol/partView.ts';
import type { Peer } from '../protocol/rpc.ts';
import type { HostMethods, ViewState, WebviewMethods } from '../protocol/viewMessages.ts';
import { failureOf } from './failureText.ts';
import type { Services } from './services.ts';
import { webviewHtml, webviewRoots } from './webviewHtml.ts';
import { connectWebview } from './webviewPeer.ts';

/** What the person does in the webview that reaches beyond it. */
export interface ViewActions {
  revealFinding(number: number): void;
  revealOpening(id: string): void;
  makeReady(): void;
}

/** What a view is computed from, and how the engine's answer is made ready to be shown. */
export interface ViewRequest {
  readonly name: string;
  readonly source: PartSource;
  readonly editable: boolean;
  readonly dress: (view: PartView) => PartView;
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
  #listening = false;
  #loading: AbortController | null = null;
  #pendingFlag: number | null = null;
  #shown: { readonly request: ViewRequest; readonly view: PartView } | null = null;

  constructor(services: Services, webview: vscode.Webview, title: string, actions: ViewActions) {
    this.#services = services;
    this.#peer = connectWebview<WebviewMethods, HostMethods>(webview, this.#handlers(actions));
    const { extensionUri } = services.context;
    webview.options = { enableScripts: true, localResourceRoots: webviewRoots(extensionUri) };
    webview.html = webviewHtml(webview, extensionUri, { bundle: 'turntable', title });
  }

  get state(): ViewState {
    return this.#state;
  }

  /** Call when the page was hidden: it is gone, and sends `ready` when it comes back. */
  pageIsGone(): void {
    this.#listening = false;
  }

  /** Computes the part and shows it. A load that still runs is dropped; a view of the same part stays up meanwhile. */
  async load(request: ViewRequest): Promise<void> {
    const { name, source } = request;
    this.#loading?.abort();
    if (!this.#services.engine.allowed) return this.tell(untrusted);
    const controller = new AbortController();
    this.#loading = controller;
    const { signal } = controller;
    if (!this.#shows(name)) this.tell({ kind: 'working', part: name, stage: '', fraction: 0 });
    try {
      const onProgress = this.#progressTeller(name, signal);
      const params = { source, noCache: false };
      const view = await this.#services.engine.call('view', params, { signal, onProgress });
      if (signal.aborted) return;
      this.#shown = { request, view };
      this.dressAgain();
    } catch (error) {
      const failure = failureOf(error);
      if (signal.aborted || failure === null) return;
      this.#services.log.error(`${name}: ${failure.code}: ${failure.message}`);
      this.tell({ kind: 'failure', part: name, error: failure });
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
    if (this.#listening) this.#send('show', state);
  }

  /** Selects the flag now, or as soon as the view that is being computed stands. */
  revealFlag(number: number): void {
    this.#pendingFlag = number;
    this.#showPendingFlag();
  }

  dispose(): void {
    this.#loading?.abort();
    this.#peer.close({ code: 'cancelled', message: 'The turntable was closed.' });
  }

  #shows(name: string): boolean {
    return this.#state.kind === 'view' && this.#state.view.part === name;
  }

  #progressTeller(name: string, signal: AbortSignal): (progress: EngineProgress) => void {
    let last = 0;
    return (progress) => {
      const now = performance.now();
      if (progress.kind !== 'stage' || signal.aborted || this.#shows(name) || now - last < progressEveryMs)
        return;
      last = now;
      this.tell({ kind: 'working', part: name, stage: progress.stage, fraction: progress.fraction });
    };
  }

  #showPendingFlag(): void {
    const number = this.#pendingFlag;
    if (number === null || !this.#listening || this.#state.kind !== 'view') return;
    if (!this.#state.view.flags.some((flag) => flag.number === number)) return;
    this.#pendingFlag = null;
    this.#send('revealFlag', { number });
  }

  #send<K extends keyof WebviewMethods & string>(method: K, params: WebviewMethods[K]['params']): void {
    this.#peer.call(method, params).catch((error: unknown) => {
      const failure = failureOf(error);
      if (failure !== null) this.#services.log.error(`turntable: ${failure.message}`);
    });
  }

  #handlers(actions: ViewActions) {
    const act = (action: () => void) => async (): Promise<null> => {
      action();
      return null;
    };
    return {
      ready: act(() => {
        this.#listening = true;
        this.#send('show', this.#state);
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
      copyText: async ({ text }: { readonly text: string }) => {
        await vscode.env.clipboard.writeText(text);
        return null;
      },
    };
  }

  #cancel(): void {
    this.#loading?.abort();
    if (this.#state.kind === 'working') {
      this.tell({
        kind: 'empty',
        hint: `Stopped. Close and open the turntable to compute ${this.#state.part} again.`,
      });
    }
  }
}

const untrusted: ViewState = {
  kind: 'empty',
  hint: 'This folder is not trusted, so its parts are not read. Run “Workspaces: Manage Workspace Trust” to allow it.',
};
