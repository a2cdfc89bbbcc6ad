import type { Failure } from '../core/result.ts';

/**
 * The one typed RPC of Kitwright: host ↔ engine process, engine ↔ worker thread and host ↔ webview
 * all speak it. A call gets exactly one reply or error, any number of progress values before it,
 * and can be cancelled. Payloads are structured-clone data; typed arrays travel as they are.
 */
export const protocolVersion = 1;

/** What one side can be asked. */
export type Methods = Record<string, { params: unknown; progress: unknown; result: unknown }>;

export type RpcMessage =
  | {
      readonly kind: 'request';
      readonly version: number;
      readonly id: number;
      readonly method: string;
      readonly params: unknown;
    }
  | { readonly kind: 'reply'; readonly id: number; readonly value: unknown }
  | { readonly kind: 'error'; readonly id: number; readonly error: Failure }
  | { readonly kind: 'progress'; readonly id: number; readonly value: unknown }
  | { readonly kind: 'cancel'; readonly id: number };

export interface Transport {
  send(message: RpcMessage): void;
  /** Returns a function that stops listening. */
  listen(listener: (message: RpcMessage) => void): () => void;
}

export interface CallContext<P> {
  readonly signal: AbortSignal;
  progress(value: P): void;
}

export type Handlers<M extends Methods> = {
  readonly [K in keyof M]: (
    params: M[K]['params'],
    context: CallContext<M[K]['progress']>,
  ) => Promise<M[K]['result']>;
};

/** A failure that crosses the wire: rejects a call with the other side's code and sentence. */
export class RpcError extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.message);
    this.name = 'RpcError';
    this.failure = failure;
  }
}

export interface CallOptions<P> {
  readonly onProgress?: (value: P) => void;
  readonly signal?: AbortSignal;
}

export interface Peer<Remote extends Methods> {
  call<K extends keyof Remote & string>(
    method: K,
    params: Remote[K]['params'],
    options?: CallOptions<Remote[K]['progress']>,
  ): Promise<Remote[K]['result']>;
  /** Rejects every open call with `reason` and stops listening. */
  close(reason: Failure): void;
}

/** Connects one side of a transport: answers `handlers`, calls the other side's `Remote` methods. */
export function connect<Remote extends Methods, Local extends Methods>(
  transport: Transport,
  handlers: Handlers<Local>,
): Peer<Remote> {
  const open = new Map<number, OpenCall>();
  const running = new Map<number, AbortController>();
  let nextId = 1;

  const stop = transport.listen((message) => {
    switch (message.kind) {
      case 'request':
        void answer(message);
        break;
      case 'cancel':
        running.get(message.id)?.abort();
        break;
      case 'progress':
        open.get(message.id)?.onProgress?.(message.value);
        break;
      case 'reply':
        settle(message.id)?.resolve(message.value);
        break;
      case 'error':
        settle(message.id)?.reject(new RpcError(message.error));
        break;
    }
  });

  function settle(id: number): OpenCall | undefined {
    const call = open.get(id);
    open.delete(id);
    call?.release();
    return call;
  }

  async function answer(request: Extract<RpcMessage, { kind: 'request' }>): Promise<void> {
    const { id } = request;
    const handler = Object.hasOwn(handlers, request.method)
      ? handlers[request.method as keyof Local]
      : undefined;
    if (request.version !== protocolVersion || handler === undefined) {
      transport.send({ kind: 'error', id, error: unknownRequest(request) });
      return;
    }
    const controller = new AbortController();
    running.set(id, controller);
    try {
      const value = await handler(request.params as never, {
        signal: controller.signal,
        progress: (progress) => transport.send({ kind: 'progress', id, value: progress }),
      });
      transport.send({ kind: 'reply', id, value });
    } catch (error) {
      transport.send({ kind: 'error', id, error: toFailure(error) });
    } finally {
      running.delete(id);
    }
  }

  return {
    call(method, params, options = {}) {
      const id = nextId++;
      return new Promise((resolve, reject) => {
        const cancel = () => transport.send({ kind: 'cancel', id });
        options.signal?.addEventListener('abort', cancel, { once: true });
        open.set(id, {
          resolve: resolve as (value: unknown) => void,
          reject,
          onProgress: options.onProgress as ((value: unknown) => void) | undefined,
          release: () => options.signal?.removeEventListener('abort', cancel),
        });
        transport.send({ kind: 'request', version: protocolVersion, id, method, params });
        if (options.signal?.aborted) cancel();
      });
    },
    close(reason) {
      stop();
      for (const controller of running.values()) controller.abort();
      for (const id of [...open.keys()]) settle(id)?.reject(new RpcError(reason));
    },
  };
}

interface OpenCall {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
  readonly onProgress: ((value: unknown) => void) | undefined;
  release(): void;
}

/** Any thrown value as a failure; what is not ours is a defect and says so. */
export function toFailure(error: unknown): Failure {
  if (error instanceof RpcError) return error.failure;
  if (error instanceof Error && (error.name === 'CancelledError' || error.name === 'AbortError')) {
    return { code: 'cancelled', message: 'The work was cancelled.' };
  }
  const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return {
    code: 'internal',
    message: `Kitwright met an inner failure. Please report it with this text: ${detail}`,
  };
}

function unknownRequest(request: { readonly version: number; readonly method: string }): Failure {
  return {
    code: 'internal',
    message: `The two halves of Kitwright do not match (protocol ${request.version}, method ${request.method}). Reload the window, or install Kitwright again.`,
  };
}
