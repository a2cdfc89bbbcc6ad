import type { Failure } from '../core/result.ts';
import type { PartView } from './partView.ts';

/** What the webview shows. The host sends the whole state; the webview never asks for pieces. */
export type ViewState =
  | { readonly kind: 'working'; readonly part: string; readonly stage: string; readonly fraction: number }
  | { readonly kind: 'view'; readonly view: PartView; readonly editable: boolean }
  | { readonly kind: 'failure'; readonly part: string; readonly error: Failure }
  | { readonly kind: 'empty'; readonly hint: string };

/** The webview's methods, called by the host. */
export type WebviewMethods = {
  show: { params: ViewState; progress: never; result: null };
  /** Select a flag, turn it to the camera and move the cut to its layer. */
  revealFlag: { params: { readonly number: number }; progress: never; result: null };
  cutAtLayer: { params: { readonly layer: number | null }; progress: never; result: null };
};

/** The host's methods, called by the webview. */
export type HostMethods = {
  /** Sent once the webview listens; the host answers by calling `show`. */
  ready: { params: null; progress: never; result: null };
  revealFinding: { params: { readonly number: number }; progress: never; result: null };
  revealOpening: { params: { readonly id: string }; progress: never; result: null };
  makeReady: { params: null; progress: never; result: null };
  cancel: { params: null; progress: never; result: null };
  copyText: { params: { readonly text: string }; progress: never; result: null };
};
