import type { Failure } from '../core/result.ts';
import type { EngineProgress } from '../protocol/engineApi.ts';
import type { EngineClient } from '../worker/engineClient.ts';

export interface CommandContext {
  readonly engine: EngineClient;
  readonly terminal: Terminal;
  readonly signal: AbortSignal;
}

/** Results go to standard output, progress and failures to standard error; progress only to a person. */
export interface Terminal {
  print(text: string): void;
  progress(progress: EngineProgress): void;
  /** One failure as a sentence, or in the JSON shape of the contract. */
  fail(failure: Failure, json: boolean): void;
}

export function openTerminal(): Terminal {
  const live = process.stderr.isTTY === true;
  let shown = false;

  function clear(): void {
    if (shown) process.stderr.write('\r\u001b[K');
    shown = false;
  }

  return {
    print(text) {
      clear();
      process.stdout.write(text);
    },
    progress(progress) {
      if (!live || progress.kind !== 'stage') return;
      const line = `${progress.part}: ${progress.stage} ${Math.round(progress.fraction * 100)} %`;
      process.stderr.write(`\r\u001b[K${line.slice(0, (process.stderr.columns ?? 80) - 1)}`);
      shown = true;
    },
    fail(failure, json) {
      clear();
      if (json) process.stdout.write(`${JSON.stringify({ ok: false, error: failure }, null, 2)}\n`);
      else process.stderr.write(`kitwright: ${failure.code}: ${failure.message}\n`);
    },
  };
}
