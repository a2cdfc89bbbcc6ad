import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import type { FitChange } from '../../../src/core/joints/fitChange.ts';
import type { GapSpread } from '../../../src/core/joints/joint.ts';
import type { JointBody } from '../../../src/core/joints/jointPlaces.ts';
import { boundsOf } from '../../../src/core/mesh/boundsOf.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { meshOf } from '../../shapes.ts';

export const bodyOf = (mesh: Mesh): JointBody => ({
  mesh,
  tree: buildFacetTree(mesh),
  bounds: boundsOf(mesh.positions),
});

/** A block from z = −`high` to 0, `outer` wide each way, with a box-shaped socket from the top, `wide` and `deep`. */
export function socket(outer: number, high: number, wide: Vec3[0], deep: number): Mesh {
  const ring = (half: number, z: number): number[][] => [
    [-half, -half, z],
    [half, -half, z],
    [half, half, z],
    [-half, half, z],
  ];
  const positions = [
    ...ring(outer / 2, -high),
    ...ring(outer / 2, 0),
    ...ring(wide / 2, 0),
    ...ring(wide / 2, -deep),
  ].flat();
  const triangles: number[] = [0, 2, 1, 0, 3, 2, 12, 13, 14, 12, 14, 15];
  // Outside, rim and the socket's sides: each ring of four against the next.
  for (const from of [0, 4, 8]) {
    for (let n = 0; n < 4; n++) {
      const [a, b] = [from + n, from + ((n + 1) % 4)];
      triangles.push(a, b, b + 4, a, b + 4, a + 4);
    }
  }
  return meshOf(positions, triangles);
}

const none = { q5: 0, median: 0 };
/** A joint that comes out as it was drawn. */
export const asSculpted: FitChange = {
  known: none,
  tightest: none,
  loosest: none,
  byPose: none,
  bySpread: none,
  unmeasured: [],
};

/** A gap that is the same all over. */
export const even = (mm: number, areaMm2 = 300): GapSpread => ({
  areaMm2,
  least: mm,
  q5: mm,
  q25: mm,
  median: mm,
  q75: mm,
  q95: mm,
  most: mm,
});
