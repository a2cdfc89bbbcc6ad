import type { RpcMessage, Transport } from '../../src/protocol/rpc.ts';
import type { VsCodeApi } from './vscodeApi.ts';

const kinds: readonly unknown[] = ['request', 'reply', 'error', 'progress', 'cancel'];

/** The webview's end of the wire to the host. Window messages that are none of ours are left alone. */
export function webviewTransport(api: VsCodeApi, page: Window): Transport {
  return {
    send: (message) => api.postMessage(message),
    listen(listener) {
      const receive = (event: MessageEvent<unknown>): void => {
        if (isRpcMessage(event.data)) listener(event.data);
      };
      page.addEventListener('message', receive);
      return () => page.removeEventListener('message', receive);
    },
  };
}

export function isRpcMessage(data: unknown): data is RpcMessage {
  if (typeof data !== 'object' || data === null) return false;
  const { kind, id } = data as { kind?: unknown; id?: unknown };
  return kinds.includes(kind) && typeof id === 'number';
}
