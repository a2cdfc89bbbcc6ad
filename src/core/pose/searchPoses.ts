import { axisDirections } from '../axisDirections.ts';
import { downOfTurn } from '../drainage/downOfTurn.ts';
import { basisAcross } from '../openings/basisAcross.ts';
import { sphereDirections } from '../sphereDirections.ts';
import { turnDown } from '../turnDown.ts';
import { add, normalized, scale, type Vec3 } from '../vector.ts';
import { type ChosenPose, choosePoses, poseCost } from './choosePoses.ts';
import type { PoseFigures, PoseWeights } from './poseFigures.ts';
import type { Tilt } from './tilt.ts';

export interface PoseSearch {
  /** What weighs on a pose of this part. */
  readonly cost: (figures: PoseFigures) => number;
  /** Some poses of the part, the best first; none when it fits in no pose. */
  readonly chosen: readonly ChosenPose[];
  /** The pose in which the part may grow most, whether it fits or not. */
  readonly roomiest: PoseFigures;
  readonly tried: number;
}

const DIRECTIONS = 500;
export const MOST_POSES = 5;
/** Steps of the refinement, degrees; each looks this many ways round. */
const STEPS = [8, 4, 2] as const;
const WAYS = 6;
/** Of all poses, those of the first look. */
const SPREAD_SHARE = 0.85;

/**
 * Searches all tilts of a part. `measure` measures tilts, all of which may be done side by side, and answers
 * in their order; `done` is the share of the search that will be done with it. The first are 500 spread over the sphere, the axes, and `own`, the part's tilt as it is;
 * then the ground round each chosen one is searched in ever smaller steps.
 */
export async function searchPoses(
  own: Tilt,
  weights: PoseWeights,
  measure: (tilts: readonly Tilt[], done: number) => Promise<PoseFigures[]>,
): Promise<PoseSearch> {
  const poses = new Map<string, PoseFigures>();
  const look = async (tilts: readonly Tilt[], done: number): Promise<void> => {
    const fresh = [...new Map(tilts.map((tilt) => [tilt.join(), tilt])).values()].filter(
      (tilt) => !poses.has(tilt.join()),
    );
    const found = await measure(fresh, done);
    for (const [at, tilt] of fresh.entries()) poses.set(tilt.join(), found[at]!);
  };
  await look([own, ...axisDirections.map(tiltOf), ...sphereDirections(DIRECTIONS).map(tiltOf)], SPREAD_SHARE);
  const fitting = (): PoseFigures[] => [...poses.values()].filter(({ fit }) => fit.fits);
  const cost = poseCost(fitting(), weights);
  const choose = (): ChosenPose[] => choosePoses(fitting(), weights, cost, MOST_POSES);
  for (const [n, step] of STEPS.entries()) {
    const done = SPREAD_SHARE + ((1 - SPREAD_SHARE) * (n + 1)) / STEPS.length;
    await look(
      choose().flatMap(({ figures }) => tiltsAround(figures.turn, step)),
      done,
    );
  }
  const roomiest = [...poses.values()].reduce((a, b) => (b.fit.growth > a.fit.growth ? b : a));
  return { cost, chosen: choose(), roomiest, tried: poses.size };
}

/** In whole degrees, so that what is measured is what will stand in the manifest. */
function tiltOf(down: Vec3): Tilt {
  const [x, y] = turnDown(down);
  return [x, y];
}

function tiltsAround(turn: Vec3, degrees: number): Tilt[] {
  const down = downOfTurn(turn);
  const [u, v] = basisAcross(down);
  const slope = Math.tan((degrees * Math.PI) / 180);
  return Array.from({ length: WAYS }, (_, n) => {
    const way = (2 * Math.PI * n) / WAYS;
    const aside = add(scale(u, slope * Math.cos(way)), scale(v, slope * Math.sin(way)));
    return tiltOf(normalized(add(down, aside)));
  });
}
