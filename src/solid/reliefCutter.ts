import type { ManifoldToplevel } from 'manifold-3d';
import type { FieldKernel } from '../core/field/fieldKernel.ts';
import { hollow } from '../core/field/hollow.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import { type Box, grown } from '../core/vector.ts';
import { boxMesh } from './boxMesh.ts';
import { clipNearby, clipWhole } from './clipNearby.ts';
import { inSolidScope } from './solidScope.ts';

/** No two of the boxes round each other have a side in common, mm. */
const APART_MM = 0.2;
/** About 14 bytes each. */
const MOST_NODES = 24e6;
/** Chords of the rounding at an edge, whose radius is the clearance, keep within this of it, mm. */
const CHORD_ERROR_MM = 0.02;
const COARSEST = 0.6;
/** Facets of flat faces are joined where that moves no point by more, mm. */
const JOINED_MM = 0.002;

/**
 * All of `box` that lies within `clearanceMm` of a closed solid or inside it, closed; null where nothing does.
 * Made as the air round the solid, which is hollowed with the clearance for its wall: what is deeper in the air stays,
 * and the exact distances, the creases and the manifold surface of a hollow come with it. Frame of `other`, mm.
 */
export function reliefCutter(
  kernel: ManifoldToplevel,
  other: Mesh,
  box: Box,
  clearanceMm: number,
  field: FieldKernel,
  interrupter: Interrupter,
): Result<Mesh | null> {
  // The air's own border takes the clearance too, outside of the box.
  const airBox = grown(box, clearanceMm + APART_MM);
  const blank = boxMesh(grown(airBox, APART_MM));
  const near = clipNearby(kernel, other, blank, portion(interrupter, 0, 0.2));
  const solid = 'unclean' in near ? clipWhole(kernel, other, blank) : near;
  if ('unclean' in solid)
    return failure('solid-failed', `The clearance cannot be cut, because ${solid.unclean}.`);
  if (solid.triangles.length === 0) return success(null);
  const air = less(kernel, boxMesh(airBox), solid);
  if (!air.ok) return air;
  const whole = boxMesh(box);
  if (air.value.triangles.length === 0) return success(whole);
  const spacingMm = Math.min(COARSEST * clearanceMm, Math.sqrt((8 * clearanceMm * CHORD_ERROR_MM) / 3));
  const options = { wallMm: clearanceMm, leastChamberMm3: 0, maxNodes: MOST_NODES, spacingMm };
  const clear = hollow(air.value, options, portion(interrupter, 0.3, 0.9), field);
  if (!clear.ok)
    return failure(
      'solid-failed',
      `A clearance of ${clearanceMm} mm cannot be told over so large a joint; give a larger one.`,
    );
  return cutterOf(kernel, whole, clear.value.mesh);
}

function cutterOf(kernel: ManifoldToplevel, whole: Mesh, clear: Mesh): Result<Mesh | null> {
  if (clear.triangles.length === 0) return success(whole);
  return inSolidScope(kernel, (scope) => {
    const simple = scope.keep(scope.solidOf(clear).simplify(JOINED_MM));
    const cutter = scope.meshOf(scope.keep(scope.solidOf(whole).subtract(simple)));
    return success(cutter.triangles.length === 0 ? null : cutter);
  });
}

function less(kernel: ManifoldToplevel, from: Mesh, what: Mesh): Result<Mesh> {
  return inSolidScope(kernel, (scope) =>
    success(scope.meshOf(scope.keep(scope.solidOf(from).subtract(scope.solidOf(what))))),
  );
}
