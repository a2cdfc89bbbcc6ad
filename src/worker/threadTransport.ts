import type { MessagePort, Worker } from 'node:worker_threads';
import type { RpcMessage, Transport } from '../protocol/rpc.ts';
import { buffersOf } from './buffersOf.ts';

/**
 * The RPC between the pool and a thread, from either side. Who has replied keeps nothing of it, so
 * the arrays of a reply are moved, not copied.
 */
export function threadTransport(port: Worker | MessagePort): Transport {
  return {
    send: (message) => port.postMessage(message, message.kind === 'reply' ? buffersOf(message.value) : []),
    listen(listener) {
      port.on('message', listener as (message: RpcMessage) => void);
      return () => port.off('message', listener);
    },
  };
}
