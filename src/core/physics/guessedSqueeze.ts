import { squeezeForce } from './squeezeForce.ts';

/**
 * The squeeze in N, for 1 Pa·s and 1 m/s, of a level film of `area` m² and `depth` m with a closed rim that is
 * fed through one mouth as good as a round one of `radius` m, wherever that is. A small hole at the rim of a disc
 * is the worst place: it squeezes about (8·ln(R/a) − 2) times as hard as an open rim, as solved for in the tests,
 * where one in its middle does (4·ln(R/a) − 3) times. Of slender films it is too low. An upper guess for what is
 * not solved for.
 */
export function guessedSqueeze(area: number, depth: number, radius: number): number {
  const ratio = Math.log(Math.sqrt(area / Math.PI) / radius);
  return squeezeForce(area, 1, 1, depth) * Math.max(1, 8 * ratio - 2);
}
