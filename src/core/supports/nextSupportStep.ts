import type { FindingCode } from '../kit/findingTable.ts';
import type { Part } from '../kit/manifest.ts';
import { raiseForSupports } from './raiseForSupports.ts';

/** One decision about how a part is held, taken otherwise. Lengths in print mm. */
export type SupportStep =
  | { readonly key: 'supports'; readonly value: 'planned'; readonly why: string }
  | {
      readonly key: 'raise' | 'widest-tip';
      readonly was: number;
      readonly value: number;
      readonly why: string;
    };

/** What is said of how a part is held: a code, and how many times its load bears where it says so. */
export interface HoldFault {
  readonly code: FindingCode;
  readonly measured: number | null;
}

/** Findings that planned supports answer. */
const ASKING = new Set<FindingCode>(['needs-supports', 'starts-in-air', 'contact-cut']);
/** Findings that room under the part answers, as long as it has none. */
const CRAMPED = new Set<FindingCode>(['raft-meets-part', 'hold-weak', 'island-unheld']);
/** A tip wider than this is no tip: the part, its pose or its cups are what has to change. Engineering choice, mm. */
const WIDEST_MM = 2;
const PER_MM = 10;
const JUST_SHORT = 0.999;

/**
 * The next decision by which a part would be held better, from what the check says of it as it is now; null where none
 * of these helps. Supports first, then room for the raft and the tips, then tips as wide as the pull asks for.
 */
export function nextSupportStep(
  { supports, raise }: Pick<Part, 'supports' | 'raise'>,
  faults: readonly HoldFault[],
): SupportStep | null {
  if (supports === null) {
    const asking = faults.filter(({ code }) => ASKING.has(code)).length;
    return asking === 0 ? null : { key: 'supports', value: 'planned', why: findings(asking) };
  }
  const overloaded = faults.find(({ code }) => code === 'tip-overloaded');
  // Figures are told rounded: what is overloaded may read as 1.
  const reserve = Math.min(overloaded?.measured ?? 1, overloaded === undefined ? 1 : JUST_SHORT);
  // Bending falls with the cube of the width, tension with its square.
  const wanted = supports.widestTip / Math.cbrt(reserve);
  const room = Math.ceil(PER_MM * raiseForSupports(supports) - 1e-6) / PER_MM;
  // On the plate a part may stand on so little that no tip beside it helps.
  const cramped = wanted > WIDEST_MM || faults.some(({ code }) => CRAMPED.has(code));
  if (raise < room && cramped) {
    return { key: 'raise', was: raise, value: room, why: 'the raft and the tips have room under it' };
  }
  if (reserve >= 1 || supports.widestTip >= WIDEST_MM) return null;
  const value = Math.min(WIDEST_MM, Math.max(step(supports.widestTip), Math.ceil(PER_MM * wanted) / PER_MM));
  return { key: 'widest-tip', was: supports.widestTip, value, why: 'no tip tears' };
}

const step = (width: number): number => Math.floor(PER_MM * width + 1 + 1e-6) / PER_MM;

const findings = (count: number): string =>
  count === 1 ? 'what hangs in air is held (1 finding)' : `what hangs in air is held (${count} findings)`;
