import { dot, norm, subtract, type Vec3 } from '../vector.ts';
import type { CutDecision } from './cutDecision.ts';

/** Signed height of a point over a cut's plane, source units; the front half lies above it. */
export const heightOver = ({ at, toward }: Pick<CutDecision, 'at' | 'toward'>, point: Vec3): number =>
  dot(subtract(point, at), toward) / norm(toward);
