import type { Mesh } from '../mesh/mesh.ts';
import { borePolygon, boreRings } from './boreRings.ts';
import type { PlacedOpening } from './opening.ts';

/**
 * The body that an opening takes out of the part: a closed, outward prism from `outward` before the
 * mouth to `depth` behind it. Its regular polygon has the area of the round hole, so the volume is
 * the cylinder's exactly. Frame and unit of the opening (print, mm).
 */
export function cutterMesh(opening: PlacedOpening): Mesh {
  const polygon = borePolygon(opening.radius);
  const { cornerRadius } = polygon;
  return boreRings(opening, polygon, [
    { depth: -opening.outward, cornerRadius },
    { depth: opening.depth, cornerRadius },
  ]);
}
