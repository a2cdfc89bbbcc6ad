import type { SupportDecision } from './supportDecision.ts';

/** mm. */
const LEAST_FOOT_MM = 3;
const WIDEST_FOOT_MM = 10;

/** Radius of a foot at the plate, mm, that the plate holds under this load (N) with the safety asked for, as far as may be. */
export function footRadius(
  loadN: number,
  { plateHold, safety }: Pick<SupportDecision, 'plateHold' | 'safety'>,
): number {
  const wanted = Math.sqrt((loadN * safety) / (Math.PI * plateHold * 1e-3));
  return Math.min(WIDEST_FOOT_MM, Math.max(LEAST_FOOT_MM, wanted));
}

/** How many times its load the plate holds of a foot, with the safety asked for. */
export function footReserve(loadN: number, decision: Pick<SupportDecision, 'plateHold' | 'safety'>): number {
  return (Math.PI * footRadius(loadN, decision) ** 2 * decision.plateHold * 1e-3) / (loadN * decision.safety);
}

/** How far the raft's edge leans out over its foot, mm. */
export const raftLip = ({ raft, raftLean }: Pick<SupportDecision, 'raft' | 'raftLean'>): number =>
  raft * Math.tan((raftLean * Math.PI) / 180);
