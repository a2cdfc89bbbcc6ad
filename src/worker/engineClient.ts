import { type ChildProcess, fork } from 'node:child_process';
import { constants, setPriority } from 'node:os';
import type { EngineMethods } from '../protocol/engineApi.ts';
import { type CallOptions, connect, type Peer, type RpcMessage, type Transport } from '../protocol/rpc.ts';
import { engineEnvironment } from './engineEnvironment.ts';

/** The engine process as its parent (extension host or command line) sees it. */
export interface EngineClient {
  call<K extends keyof EngineMethods & string>(
    method: K,
    params: EngineMethods[K]['params'],
    options?: CallOptions<EngineMethods[K]['progress']>,
  ): Promise<EngineMethods[K]['result']>;
  dispose(): void;
}

export interface EngineOptions {
  /** Lines the engine writes to its standard error. */
  readonly onLog?: (text: string) => void;
}

/** Collecting garbage after a job would throw out what its functions were compiled to, for the next to do again. */
const engineFlags = ['--max-old-space-size=4096', '--expose-gc', '--no-flush-bytecode'];

interface Running {
  readonly child: ChildProcess;
  readonly peer: Peer<EngineMethods>;
}

/**
 * Starts the engine at the first call and again after it ended (a crash rejects the calls that were
 * open with `engine-stopped`). It runs at low priority and ends with its parent: the IPC channel closes.
 */
export function startEngine(enginePath: string, options: EngineOptions = {}): EngineClient {
  let running: Running | null = null;
  let disposed = false;

  function start(): Running {
    const child = fork(enginePath, [], {
      serialization: 'advanced',
      env: engineEnvironment(process.env),
      execArgv: engineFlags,
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    const peer = connect<EngineMethods, Record<never, never>>(childTransport(child), {});
    const started: Running = { child, peer };
    child.stderr?.on('data', (data: Buffer) => options.onLog?.(data.toString('utf8')));
    child.on('exit', (code, signal) =>
      ended(started, `The engine ended unexpectedly (${signal ?? `exit code ${code}`}).`),
    );
    child.on('error', (error) => ended(started, `The engine cannot be started: ${error.message}.`));
    lowerPriority(child);
    running = started;
    return started;
  }

  function ended(which: Running, message: string): void {
    if (running === which) running = null;
    which.peer.close({
      code: 'engine-stopped',
      message: `${message} Try again; a part of many millions of triangles may need more memory than this machine has.`,
    });
  }

  return {
    call(method, params, callOptions) {
      if (disposed) return Promise.reject(new Error('the engine client is disposed'));
      return (running ?? start()).peer.call(method, params, callOptions);
    },
    dispose() {
      disposed = true;
      const last = running;
      if (last === null) return;
      ended(last, 'The engine was shut down.');
      last.child.kill();
    },
  };
}

function lowerPriority(child: ChildProcess): void {
  try {
    if (child.pid !== undefined) setPriority(child.pid, constants.priority.PRIORITY_BELOW_NORMAL);
  } catch {
    // Some systems forbid it; the engine then runs at normal priority.
  }
}

function childTransport(child: ChildProcess): Transport {
  return {
    send(message) {
      if (child.connected) child.send(message as object, () => {});
    },
    listen(listener) {
      const forward = (message: unknown) => listener(message as RpcMessage);
      child.on('message', forward);
      return () => child.off('message', forward);
    },
  };
}
