import { type Interrupter, portion } from '../core/interrupter.ts';
import { roundTo, roundVec3 } from '../core/kit/rounding.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { fitStopper } from '../core/openings/fitStopper.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { type ShapedStopper, standStoppers } from '../core/openings/standStoppers.ts';
import type { NoStopper, Stopper, StopperDecision } from '../core/openings/stopper.ts';
import { buildSurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { norm, subtract, type Vec3 } from '../core/vector.ts';
import type { StopperPiece } from '../protocol/engineApi.ts';
import { separateVertices } from '../solid/separateVertices.ts';
import { shapeStoppers } from '../solid/shapeStoppers.ts';
import type { PartMeshes } from './measurePart.ts';
import { solidKernel } from './solidKernel.ts';

export interface MadeStoppers {
  /** All on one plate; null when none could be made. */
  readonly mesh: Mesh | null;
  readonly volumeMm3: number;
  readonly pieces: readonly StopperPiece[];
  /** What was done otherwise than asked, or left out, a sentence each. */
  readonly notes: readonly string[];
}

const none: MadeStoppers = { mesh: null, volumeMm3: 0, pieces: [], notes: [] };

/** The stoppers of a part's openings, shaped by its own outside and standing on their feet. */
export async function makeStoppers(
  decisions: readonly StopperDecision[],
  openings: readonly OpeningFacts[],
  { outer, cavity }: PartMeshes,
  plateWidthMm: number,
  interrupter: Interrupter,
): Promise<MadeStoppers> {
  if (decisions.length === 0 || cavity === null) return none;
  const outside = buildSurfaceIndex(outer, portion(interrupter, 0, 0.2));
  const inside = buildSurfaceIndex(cavity, portion(interrupter, 0.2, 0.3));
  const fits = decisions.flatMap((decision) => {
    const facts = openings.find((one) => one.decision.id === decision.opening);
    return facts === undefined ? [] : [fitStopper(decision, facts, outside, inside)];
  });
  const fitted = fits.filter(isFitted);
  const made = shapeStoppers(await solidKernel(), outer, fitted, portion(interrupter, 0.3, 1));
  const shaped = made.filter(isShaped);
  const standing = standStoppers(shaped, plateWidthMm);
  const notes = [
    ...[...fits, ...made]
      .filter(isNone)
      .map(({ opening, reason }) => `No stopper for ${opening}: ${reason}.`),
    ...shaped.flatMap(({ stopper }) => stopper.notes),
    ...crossing(shaped.map(({ stopper }) => stopper)),
  ];
  const volumes = shaped.map(({ mesh }) => massProperties(mesh, interrupter).volume);
  return {
    mesh: shaped.length === 0 ? null : separateVertices(standing.mesh),
    volumeMm3: volumes.reduce((sum, volume) => sum + volume, 0),
    pieces: shaped.map(({ stopper }, n) => pieceOf(stopper, n + 1, standing.at[n]!, volumes[n]!)),
    notes,
  };
}

const isNone = (fit: Stopper | ShapedStopper | NoStopper): fit is NoStopper => 'reason' in fit;
const isFitted = (fit: Stopper | NoStopper): fit is Stopper => !('reason' in fit);
const isShaped = (fit: ShapedStopper | NoStopper): fit is ShapedStopper => !('reason' in fit);

/** Bores that meet at their mouths leave their stoppers no wall between them. */
function crossing(stoppers: readonly Stopper[]): string[] {
  return stoppers.flatMap(({ opening, bore }, n) =>
    stoppers
      .slice(0, n)
      .filter((other) => norm(subtract(bore.mouth, other.bore.mouth)) < bore.radius + other.bore.radius)
      .map(
        (other) => `${other.opening} and ${opening} run into each other: only one of their stoppers fits.`,
      ),
  );
}

function pieceOf(stopper: Stopper, number: number, at: Vec3, volumeMm3: number): StopperPiece {
  const { opening, bore, clearanceMm, taperDeg, straightMm, depthMm } = stopper;
  const diameter = 2 * (bore.radius - clearanceMm);
  const tapered = (depthMm - straightMm) * Math.tan((taperDeg * Math.PI) / 180);
  return {
    number,
    opening,
    diameter_mm: roundTo(diameter, 3),
    foot_mm: roundTo(diameter - 2 * tapered, 3),
    depth_mm: roundTo(depthMm, 3),
    clearance_mm: clearanceMm,
    taper_deg: roundTo(taperDeg, 2),
    volume_ml: roundTo(volumeMm3 / 1000, 4),
    at: roundVec3(at, 3),
  };
}
