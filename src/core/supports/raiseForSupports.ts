import { TIP_HEIGHT_MM } from './routeStrut.ts';
import type { SupportDecision } from './supportDecision.ts';

/** How high the lowest point of a part must be over the plate for the raft and the tips under it, mm. */
export const raiseForSupports = ({ raft }: Pick<SupportDecision, 'raft'>): number => raft + TIP_HEIGHT_MM;
