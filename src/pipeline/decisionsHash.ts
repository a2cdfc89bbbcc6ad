import { createHash } from 'node:crypto';
import type { PartRequest } from './partRequest.ts';

/** Of every decision that changes a figure of a part: 16 hexadecimals. Where its file lies is none. */
export function decisionsHash({
  name: _,
  path: __,
  kitDir: ___,
  readCache: ____,
  ...decisions
}: PartRequest): string {
  return createHash('sha256').update(JSON.stringify(decisions)).digest('hex').slice(0, 16);
}
