import { type ChainPiece, chainWithin, cutUp } from '../lights/chainWithin.ts';
import type { LightBore } from '../lights/light.ts';
import { lightCurve } from '../lights/lightCurve.ts';
import { add, scale, subtract } from '../vector.ts';
import { type CutPlane, inPlane } from './cutPlane.ts';
import { isInSection, type PlaneSection } from './planeSection.ts';

/** A light's tube before a part is cut: its middle line in short pieces, source axes, mm of the finished size. */
export interface TubeToCut {
  readonly name: string;
  readonly radiusMm: number;
  readonly pieces: readonly ChainPiece[];
}

/** How a plane cuts a light's tube. */
export interface LightCut {
  readonly name: string;
  /** Between plane and tube where it is least, degrees; 90 = straight across. */
  readonly angleDeg: number;
}

/** A plane that cuts a tube at less runs along it: at 30° its mouth is twice as long as it is wide. Engineering choice. */
export const SHALLOW_DEG = 30;
/** Of a long straight tube only some may lie in the section, mm. */
const PIECE_MM = 2;

export function tubesToCut(lights: readonly LightBore[], factor: number): TubeToCut[] {
  return lights.flatMap(({ name, path, radiusMm, liningMm }) => {
    const curve = lightCurve(
      path.map((point) => scale(point, factor)),
      radiusMm + liningMm,
    );
    if (curve === null) return [];
    const whole = chainWithin(curve.points, { fromMm: 0, toMm: curve.lengthMm });
    return [{ name, radiusMm, pieces: cutUp(whole, PIECE_MM) }];
  });
}

/**
 * The tubes that a plane at a height over its frame, in the unit of the mesh, meets inside the part: where the middle
 * line comes nearer to it than the tube's radius, within the section.
 */
export function lightsCut(
  tubes: readonly TubeToCut[],
  plane: CutPlane,
  height: number,
  section: PlaneSection,
  factor: number,
): LightCut[] {
  return tubes.flatMap(({ name, radiusMm, pieces }) => {
    const near = pieces
      .map((piece) => asCut(piece, plane, height, factor))
      .filter(({ awayMm }) => awayMm < radiusMm)
      .sort((a, b) => a.angleDeg - b.angleDeg);
    const shallowest = near.find(({ x, y }) => isInSection(section, x, y));
    return shallowest === undefined ? [] : [{ name, angleDeg: shallowest.angleDeg }];
  });
}

/** A piece as the plane meets it: its angle, and the point of it nearest to the plane. */
function asCut({ from, to, lengthMm }: ChainPiece, plane: CutPlane, height: number, factor: number) {
  const heightOf = (at: typeof from): number => factor * (inPlane(plane, scale(at, 1 / factor))[2] - height);
  const [low, high] = [heightOf(from), heightOf(to)];
  const rise = high - low;
  const share = rise === 0 ? 0.5 : Math.min(1, Math.max(0, -low / rise));
  const at = add(from, scale(subtract(to, from), share));
  const [x, y] = inPlane(plane, scale(at, 1 / factor));
  return {
    angleDeg: (Math.asin(Math.min(1, Math.abs(rise) / lengthMm)) * 180) / Math.PI,
    awayMm: Math.abs(low + share * rise),
    x: factor * x,
    y: factor * y,
  };
}
