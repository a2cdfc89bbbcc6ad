import { downOfTurn } from '../drainage/downOfTurn.ts';
import { dot } from '../vector.ts';
import {
  concernOf,
  type PoseConcern,
  type PoseFigures,
  type PoseWeights,
  poseConcerns,
} from './poseFigures.ts';

/** A pose worth offering: no other that was tried is better in every concern. */
export interface ChosenPose {
  readonly figures: PoseFigures;
  /** What it is best at; null for the one that is best by the weights together. */
  readonly best: PoseConcern | null;
}

/** Poses whose down is nearer to one that is chosen already say nothing new, cosine of 15°. */
const ALIKE = Math.cos(Math.PI / 12);

/**
 * What weighs on a pose: every concern as a multiple of what is usual for this part, by the builder's
 * weights. `usual` are poses of the part.
 */
export function poseCost(
  usual: readonly PoseFigures[],
  weights: PoseWeights,
): (figures: PoseFigures) => number {
  const scales = poseConcerns.map((concern) => ({ concern, usual: middle(usual, concern) }));
  return (figures) =>
    scales.reduce(
      (sum, { concern, usual: one }) => sum + (weights[concern] * concernOf(figures, concern)) / one,
      0,
    );
}

/** The mean: a concern that most poses are free of still has a scale. 1 where no pose has any of it. */
function middle(poses: readonly PoseFigures[], concern: PoseConcern): number {
  const sum = poses.reduce((total, figures) => total + concernOf(figures, concern), 0);
  return sum > 0 ? sum / poses.length : 1;
}

/**
 * A few poses out of many that fit: the best by `cost`, then for each concern that is weighed the one with
 * least of it (of equals the cheapest), so that each is on the Pareto front; those alike to one before are
 * left out. Deterministic: of equals the first.
 */
export function choosePoses(
  poses: readonly PoseFigures[],
  weights: PoseWeights,
  cost: (figures: PoseFigures) => number,
  most: number,
): ChosenPose[] {
  const sorted = [...poses].sort((a, b) => cost(a) - cost(b));
  const chosen: ChosenPose[] = [];
  const offer = (figures: PoseFigures | undefined, best: PoseConcern | null): void => {
    if (figures === undefined || chosen.length === most) return;
    if (chosen.some((other) => alike(other.figures, figures))) return;
    chosen.push({ figures, best });
  };
  offer(sorted[0], null);
  for (const concern of byWeight(weights)) {
    offer(
      sorted.reduce<PoseFigures | undefined>(
        (least, one) =>
          least === undefined || concernOf(one, concern) < concernOf(least, concern) ? one : least,
        undefined,
      ),
      concern,
    );
  }
  return chosen;
}

const byWeight = (weights: PoseWeights): PoseConcern[] =>
  poseConcerns.filter((concern) => weights[concern] > 0).sort((a, b) => weights[b] - weights[a]);

const alike = (a: PoseFigures, b: PoseFigures): boolean =>
  dot(downOfTurn(a.turn), downOfTurn(b.turn)) > ALIKE;
