import { type Affine, transformMesh } from '../affine.ts';
import { joinMeshes } from '../mesh/joinMeshes.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { add, dot, scale, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';
import { borePolygon } from './boreRings.ts';
import type { Stopper } from './stopper.ts';

export interface ShapedStopper {
  readonly stopper: Stopper;
  /** Where it closes its bore: print frame of the part, mm. */
  readonly mesh: Mesh;
}

export interface StoppersOnPlate {
  /** All of them, z = 0 the plate, centred. */
  readonly mesh: Mesh;
  /** Centre of each one's foot, in the order given. */
  readonly at: readonly Vec3[];
}

/** Room between two, mm: for a blade and for the light that spills over; engineering choice. */
const GAP_MM = 3;
/** A foot that stands off the plate by no more than this does so by rounding of float32, mm. */
const ROUNDING_MM = 1e-3;

/**
 * Stands stoppers on their flat inner ends, in their order: from left to right, row after row from the
 * front, as wide as `plateWidthMm` allows, none nearer to another than `GAP_MM`.
 */
export function standStoppers(shaped: readonly ShapedStopper[], plateWidthMm: number): StoppersOnPlate {
  const widths = shaped.map(({ stopper }) => 2 * borePolygon(stopper.bore.radius).cornerRadius);
  const places = placesInRows(widths, plateWidthMm);
  const meshes = shaped.map(({ stopper, mesh }, n) => stood(mesh, stopper, places[n]!));
  return { mesh: joinMeshes(meshes), at: places };
}

function placesInRows(widths: readonly number[], plateWidthMm: number): Vec3[] {
  const places: [number, number][] = [];
  let [right, front, depth, widest] = [0, 0, 0, 0];
  for (const width of widths) {
    if (right > 0 && right + width > plateWidthMm) [right, front, depth] = [0, front + depth + GAP_MM, 0];
    places.push([right + width / 2, front + width / 2]);
    widest = Math.max(widest, right + width);
    depth = Math.max(depth, width);
    right += width + GAP_MM;
  }
  return places.map(([x, y]) => [x - widest / 2, y - (front + depth) / 2, 0]);
}

function stood(mesh: Mesh, stopper: Stopper, place: Vec3): Mesh {
  const { positions, triangles } = transformMesh(mesh, uprightAt(stopper, place));
  for (let at = 2; at < positions.length; at += 3) {
    if (Math.abs(positions[at]!) < ROUNDING_MM) positions[at] = 0;
  }
  return { positions, triangles };
}

/** A rotation that takes the axis to −z, and a shift that takes the middle of the foot to `place`. */
function uprightAt({ bore, depthMm }: Stopper, place: Vec3): Affine {
  const [u, v] = basisAcross(bore.axis);
  const rows: Vec3[] = [v, u, scale(bore.axis, -1)];
  const foot = add(bore.mouth, scale(bore.axis, depthMm));
  const turned = rows.map((row) => dot(row, foot)) as unknown as Vec3;
  return { linear: rows.flat(), shift: add(place, scale(turned, -1)) };
}
