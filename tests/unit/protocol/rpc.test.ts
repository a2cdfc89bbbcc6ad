import { describe, expect, it } from 'vitest';
import { CancelledError } from '../../../src/core/interrupter.ts';
import {
  connect,
  type Handlers,
  type Peer,
  RpcError,
  type RpcMessage,
  type Transport,
} from '../../../src/protocol/rpc.ts';

type Demo = {
  double: { params: number; progress: number; result: number };
  fail: { params: 'failure' | 'defect'; progress: never; result: never };
  wait: { params: null; progress: never; result: null };
};

function pair(): [Transport, Transport] {
  const listeners: [Set<(m: RpcMessage) => void>, Set<(m: RpcMessage) => void>] = [new Set(), new Set()];
  const side = (own: 0 | 1): Transport => ({
    send: (message) => {
      const copy = structuredClone(message);
      queueMicrotask(() => {
        for (const listener of listeners[own === 0 ? 1 : 0]) listener(copy);
      });
    },
    listen(listener) {
      listeners[own].add(listener);
      return () => listeners[own].delete(listener);
    },
  });
  return [side(0), side(1)];
}

const handlers: Handlers<Demo> = {
  double: async (value, { progress }) => {
    progress(0.5);
    return 2 * value;
  },
  fail: async (how) => {
    throw how === 'failure'
      ? new RpcError({ code: 'stl-empty', message: 'The file is empty.' })
      : new TypeError('defect');
  },
  wait: (_params, { signal }) =>
    new Promise((_resolve, reject) => {
      signal.addEventListener('abort', () => reject(new CancelledError()));
    }),
};

function demo(): { peer: Peer<Demo>; raw: Transport } {
  const [near, far] = pair();
  connect<Record<never, never>, Demo>(far, handlers);
  return { peer: connect<Demo, Record<never, never>>(near, {}), raw: near };
}

const codeOf = (promise: Promise<unknown>): Promise<string> =>
  promise.then(
    () => 'no error',
    (error: RpcError) => error.failure.code,
  );

describe('rpc', () => {
  it('replies, with progress before', async () => {
    const seen: number[] = [];
    expect(await demo().peer.call('double', 21, { onProgress: (value) => seen.push(value) })).toBe(42);
    expect(seen).toEqual([0.5]);
  });

  it('carries a coded failure, and a defect as an inner one: no caller waits for ever', async () => {
    const { peer } = demo();
    expect(await codeOf(peer.call('fail', 'failure'))).toBe('stl-empty');
    expect(await codeOf(peer.call('fail', 'defect'))).toBe('internal');
  });

  it('cancels a call while it runs, and one whose signal was already aborted', async () => {
    const { peer } = demo();
    const controller = new AbortController();
    const call = peer.call('wait', null, { signal: controller.signal });
    queueMicrotask(() => controller.abort());
    expect(await codeOf(call)).toBe('cancelled');
    expect(await codeOf(peer.call('wait', null, { signal: AbortSignal.abort() }))).toBe('cancelled');
  });

  it('rejects what is open when the other side is gone', async () => {
    const { peer } = demo();
    const call = codeOf(peer.call('wait', null));
    peer.close({ code: 'engine-stopped', message: 'gone' });
    expect(await call).toBe('engine-stopped');
  });

  it('refuses another version and an unknown method', async () => {
    const { raw } = demo();
    const answers: RpcMessage[] = [];
    raw.listen((message) => answers.push(message));
    raw.send({ kind: 'request', version: 999, id: 900, method: 'double', params: 1 });
    raw.send({ kind: 'request', version: 1, id: 901, method: 'toString', params: 1 });
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect(answers.map((answer) => [answer.kind, answer.id])).toEqual([
      ['error', 900],
      ['error', 901],
    ]);
  });
});
