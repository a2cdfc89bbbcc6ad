import * as vscode from 'vscode';
import type { EngineMethods } from '../protocol/engineApi.ts';
import type { CallOptions } from '../protocol/rpc.ts';
import { type EngineClient, startEngine } from '../worker/engineClient.ts';

/** The one engine process of this window, started at the first call. */
export class EngineService implements vscode.Disposable {
  readonly #client: EngineClient;

  constructor(extensionUri: vscode.Uri, log: vscode.LogOutputChannel) {
    const enginePath = vscode.Uri.joinPath(extensionUri, 'dist', 'engine.mjs').fsPath;
    this.#client = startEngine(enginePath, { onLog: (text) => log.info(text.trimEnd()) });
  }

  /** The engine reads files and writes a cache: neither happens in a folder that is not trusted. */
  get allowed(): boolean {
    return vscode.workspace.isTrusted;
  }

  call<K extends keyof EngineMethods & string>(
    method: K,
    params: EngineMethods[K]['params'],
    options?: CallOptions<EngineMethods[K]['progress']>,
  ): Promise<EngineMethods[K]['result']> {
    return this.#client.call(method, params, options);
  }

  dispose(): void {
    this.#client.dispose();
  }
}
