import type { Failure } from '../core/result.ts';
import { RpcError, toFailure } from '../protocol/rpc.ts';

/** A thrown value as a failure with a code; null when it only says that the work was cancelled. */
export function failureOf(error: unknown): Failure | null {
  const failure = error instanceof RpcError ? error.failure : toFailure(error);
  return failure.code === 'cancelled' ? null : failure;
}

/** The sentence for a person, with the code that can be looked up. */
export function failureText(failure: Failure): string {
  return `${failure.message.split('\n', 1)[0]} (${failure.code})`;
}
