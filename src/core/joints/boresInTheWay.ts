import { type Cylinder, cylindersApart } from '../cylindersApart.ts';
import { figure, openingName } from '../kit/rules/figures.ts';
import type { LightFacts } from '../lights/lightPasses.ts';
import type { OpeningFacts } from '../openings/opening.ts';
import { norm, normalized, subtract } from '../vector.ts';

/** What is drilled into a part, by the name that people know it by. Print frame, mm. */
export interface NamedBore {
  readonly name: string;
  readonly cylinders: readonly Cylinder[];
}

/** A part's openings as drilled, and its lights; `except` ids of openings left out. */
export function boresOf(
  openings: readonly OpeningFacts[],
  lights: readonly LightFacts[],
  except: readonly string[],
): NamedBore[] {
  const drilled = openings.flatMap(({ placed }): NamedBore[] => {
    if (placed === null || except.includes(placed.id)) return [];
    const { mouth, axis, depth, radius } = placed;
    return [{ name: openingName(placed.id), cylinders: [{ from: mouth, axis, length: depth, radius }] }];
  });
  const run = lights.map(({ name, points, radiusMm }) => ({
    name: `the light ${name}`,
    cylinders: points.slice(1).map((to, n): Cylinder => {
      const way = subtract(to, points[n]!);
      return { from: points[n]!, axis: normalized(way), length: norm(way), radius: radiusMm };
    }),
  }));
  return [...drilled, ...run];
}

/** Less is rounding. */
const ROUNDING_MM = 1e-3;

/** Why a hole cannot be drilled for what is drilled already: the nearest of it; null where `leastWallMm` stays to all. */
export function boresInTheWay(
  part: string,
  hole: Cylinder,
  bores: readonly NamedBore[],
  leastWallMm: number,
): string | null {
  const near = bores
    .map(({ name, cylinders }) => ({
      name,
      apart: Math.min(...cylinders.map((bore) => cylindersApart(hole, bore))),
    }))
    .filter(({ apart }) => apart < leastWallMm - ROUNDING_MM)
    .sort((a, b) => a.apart - b.apart);
  const nearest = near[0];
  if (nearest === undefined) return null;
  const others = near.slice(1).map(({ name }) => name);
  const how =
    nearest.apart > ROUNDING_MM
      ? `would leave ${figure(nearest.apart, 'mm')} to ${nearest.name}, less than ${figure(leastWallMm, 'mm')} (limits.least-wall)`
      : `would run into ${nearest.name}`;
  const more =
    others.length === 0
      ? ''
      : `, and ${others.join(', ')} ${others.length === 1 ? 'is' : 'are'} too near as well`;
  return `its hole in ${part} ${how}${more}; move one of them, or say at where the pin passes.`;
}
