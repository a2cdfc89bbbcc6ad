import { roundSection } from './circularSegment.ts';
import { openRimForce } from './openRimForce.ts';
import { type Fluid, ventResistance } from './ventResistance.ts';

/** The squeeze of a cup as it is known cell by cell (`localSqueeze.ts`). */
export interface LocalSqueeze {
  /** N for 1 Pa·s and 1 m/s, hence m. */
  readonly perSpeed: number;
  /** m, from the lowest floor to the film. */
  readonly greatestDepth: number;
}

/** A cup at one layer, SI units. */
export interface CupDemand {
  /** m² that suction acts on. */
  readonly area: number;
  /** m² of that with a floor above it, over which resin is squeezed. */
  readonly floorArea: number;
  /** m, mean depth from floor to film. */
  readonly depth: number;
  /** m/s. */
  readonly speed: number;
  /** Without it resin is taken to come in along the rim over the mean depth. */
  readonly local?: LocalSqueeze | null;
}

/**
 * Diameter in m of the one round vent, wholly printed, below the vat's surface and with a bore of
 * `length` m, that holds the suction of a cup at `limit` N; null when the squeeze flow alone is over
 * it, so that no vent helps: the pose or the cavity's floor is the cause. The squeeze is that of an
 * open rim (`openRimForce.ts`), the least that vents put where they are wanted could leave; how far it really
 * has to come from the mouths there are is told by `local`.
 *
 * With x = 1/r the drop is α·x³ + β·x⁴ (entrance; friction and inertia), convex for x > 0: Newton from
 * the right of the root descends to it.
 */
export function requiredDiameter(cup: CupDemand, length: number, fluid: Fluid, limit: number): number | null {
  const squeeze = openRimForce(cup, fluid.viscosity);
  if (squeeze >= limit) return null;
  const allowed = (limit - squeeze) / cup.area;
  const { entrance, rest } = dropAtUnitRadius(cup.area * cup.speed, length, fluid);
  let inverse = Math.min(Math.cbrt(allowed / entrance), (allowed / rest) ** 0.25);
  for (let step = 0; step < maxSteps; step++) {
    const square = inverse * inverse;
    const excess = (entrance + rest * inverse) * square * inverse - allowed;
    const next = inverse - excess / ((3 * entrance + 4 * rest * inverse) * square);
    if (!(next < inverse * (1 - tolerance))) break;
    inverse = next;
  }
  return 2 / inverse;
}

const maxSteps = 100;
const tolerance = 1e-12;

function dropAtUnitRadius(flow: number, length: number, fluid: Fluid): { entrance: number; rest: number } {
  const unit = roundSection(2);
  const entrance = ventResistance(unit, 0, fluid).linear * flow;
  const both = ventResistance(unit, length, fluid);
  return { entrance, rest: both.linear * flow - entrance + both.quadratic * flow * flow };
}
