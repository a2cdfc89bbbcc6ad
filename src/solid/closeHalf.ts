import type { ManifoldToplevel } from 'manifold-3d';
import type { CutSide } from '../core/cut/cutDecision.ts';
import { type CutPlane, inPlane } from '../core/cut/cutPlane.ts';
import type { KeyFacets } from '../core/cut/keyFacets.ts';
import { KEY_SIDES } from '../core/cut/keyShape.ts';
import type { OpenHalves } from '../core/cut/openHalves.ts';
import { joinIndices } from '../core/mesh/joinIndices.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { failure, type Result, success } from '../core/result.ts';
import { borderLoops } from './borderLoops.ts';
import { compacted } from './compacted.ts';
import { inSolidScope } from './solidScope.ts';

/**
 * Closes one half of a cut mesh: a flat cap over its rim, out of which the keys are left, and the keys'
 * own surfaces, as plugs on the back half and as sockets in the front half. No boolean: keys stand clear
 * of the rim and of each other (`placeKeys` sees to it), so the cap with their rings as holes is all
 * there is to triangulate. Where the plane touches the surface in a point, the halves may be joined in
 * that point alone. Fails `solid-failed` when the rim does not close.
 */
export function closeHalf(
  kernel: ManifoldToplevel,
  halves: OpenHalves,
  side: CutSide,
  plane: CutPlane,
  keys: readonly KeyFacets[],
): Result<Mesh> {
  const half = halves[side];
  const rims = borderLoops(half.rim);
  if (rims === null) return failure('solid-failed', 'The cut leaves a rim that does not close.');
  const { positions, rings, walls } = withKeys(halves.positions, keys, side);
  // The cap runs against the rim; a ring is a hole in it, seen from where the cap faces.
  const loops = [...rims.map((rim) => rim.toReversed()), ...rings];
  return inSolidScope(kernel, () => {
    const cap = capOver(kernel, positions, loops, plane, side);
    const triangles = joinIndices([half.triangles, cap, ...walls]);
    return success(compacted(positions, triangles));
  });
}

function withKeys(positions: Float32Array, keys: readonly KeyFacets[], side: CutSide) {
  const all = new Float32Array(keys.reduce((sum, key) => sum + key.positions.length, positions.length));
  all.set(positions);
  let at = positions.length;
  const rings: number[][] = [];
  const walls: Uint32Array[] = [];
  for (const key of keys) {
    all.set(key.positions, at);
    const first = at / 3;
    const ring = Array.from({ length: KEY_SIDES }, (_, n) => first + n);
    rings.push(side === 'back' ? ring.reverse() : ring);
    const placed = key.triangles.map((vertex) => vertex + first);
    walls.push(side === 'back' ? placed : turnedRound(placed));
    at += key.positions.length;
  }
  return { positions: all, rings, walls };
}

/** Facets over flat loops, outer ones counter-clockwise as seen from where the cap faces. */
function capOver(
  kernel: ManifoldToplevel,
  positions: Float32Array,
  loops: readonly (readonly number[])[],
  plane: CutPlane,
  side: CutSide,
): Uint32Array {
  const polygons = loops.map((loop) =>
    loop.map((vertex): [number, number] => {
      const [x, y] = inPlane(plane, [
        positions[3 * vertex]!,
        positions[3 * vertex + 1]!,
        positions[3 * vertex + 2]!,
      ]);
      return side === 'back' ? [x, y] : [-x, y];
    }),
  );
  const vertices = loops.flat();
  return Uint32Array.from(kernel.triangulate(polygons).flat(), (corner) => vertices[corner]!);
}
