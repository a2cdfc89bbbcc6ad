import type { SupportDecision } from './supportDecision.ts';

/** mm. */
const LEAST_FOOT_MM = 3;

/** Radius of a foot at the plate, mm, that the plate holds under this load (N) with the safety asked for. */
export function footRadius(
  loadN: number,
  { plateHold, safety }: Pick<SupportDecision, 'plateHold' | 'safety'>,
): number {
  return Math.max(LEAST_FOOT_MM, Math.sqrt((loadN * safety) / (Math.PI * plateHold * 1e-3)));
}

/** How far the raft's edge leans out over its foot, mm. */
export const raftLip = ({ raft, raftLean }: Pick<SupportDecision, 'raft' | 'raftLean'>): number =>
  raft * Math.tan((raftLean * Math.PI) / 180);
