import type { RpcMessage } from '../../src/protocol/rpc.ts';

/** What VS Code gives a webview, once per page. */
export interface VsCodeApi {
  postMessage(message: RpcMessage): void;
  getState(): unknown;
  setState(state: unknown): void;
}

declare global {
  function acquireVsCodeApi(): VsCodeApi;
}
