import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { normalized, type Vec3 } from '../vector.ts';

/** From where to where a surface reaches along a way, in its own unit. */
export interface Span {
  readonly low: number;
  readonly high: number;
}

const CALL_MASK = 0xffff;

/** @param up any length but nil. */
export function extentAlong(
  { positions: p }: Pick<Mesh, 'positions'>,
  up: Vec3,
  interrupter: Interrupter,
): Span {
  const [ux, uy, uz] = normalized(up);
  let [low, high] = [Infinity, -Infinity];
  for (let at = 0; at < p.length; at += 3) {
    if ((at & CALL_MASK) === 0) interrupter(at / p.length);
    const along = ux * p[at]! + uy * p[at + 1]! + uz * p[at + 2]!;
    low = Math.min(low, along);
    high = Math.max(high, along);
  }
  return { low, high };
}

/** What all of them reach over together; null of none. */
export const spanAround = (spans: readonly Span[]): Span | null =>
  spans.length === 0
    ? null
    : { low: Math.min(...spans.map(({ low }) => low)), high: Math.max(...spans.map(({ high }) => high)) };
