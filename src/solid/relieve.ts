import type { ManifoldToplevel } from 'manifold-3d';
import { buildFacetTree } from '../core/field/facetTree.ts';
import type { FieldKernel } from '../core/field/fieldKernel.ts';
import { type Interrupter, portion, uninterrupted } from '../core/interrupter.ts';
import type { JointBody } from '../core/joints/jointPlaces.ts';
import { leastGap } from '../core/joints/leastGap.ts';
import { reliefBox } from '../core/joints/reliefBox.ts';
import { boundsOf } from '../core/mesh/boundsOf.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import { boxMesh } from './boxMesh.ts';
import { cutRelief } from './cutRelief.ts';
import { reliefCutter } from './reliefCutter.ts';
import { splitShells } from './splitShells.ts';

/** A part from which a clearance is taken. One frame, mm. */
export interface ReliefGiver {
  /** As it is to be printed: hollowed and opened. */
  readonly solid: Mesh;
  /** As sculpted: what stands too near to the other part. */
  readonly outer: Mesh;
  /** Outward, as a solid of its own; null when the part stays solid. */
  readonly cavity: Mesh | null;
}

export interface Relieved {
  readonly mesh: Mesh;
  readonly notes: readonly string[];
  /** Solid that was taken away, mm³. */
  readonly takenMm3: number;
  /** Least gap to the other part that is left where it was cut, mm. */
  readonly gapMm: number;
  /** Least wall between what was cut and the hollow where it is under `leastWallMm`, mm; else null. */
  readonly thinWallMm: number | null;
  /** How many pieces came off the part in the cut. */
  readonly loosePieces: number;
}

/**
 * Takes from a part whatever is nearer than `clearanceMm` to another, which stays as it is. Null where nothing is.
 * Fails `solid-failed` when the cut would open the part's hollow, or cannot be made.
 */
export function relieve(
  kernel: ManifoldToplevel,
  { solid, outer, cavity }: ReliefGiver,
  other: Mesh,
  clearanceMm: number,
  leastWallMm: number,
  field: FieldKernel,
  interrupter: Interrupter,
): Result<Relieved | null> {
  const body = bodyOf(other, portion(interrupter, 0, 0.05));
  const giver = bodyOf(outer, portion(interrupter, 0.05, 0.1));
  const box = reliefBox(giver, body, clearanceMm, portion(interrupter, 0.1, 0.3));
  if (box === null) return success(null);
  const cutter = reliefCutter(kernel, other, box, clearanceMm, field, portion(interrupter, 0.3, 0.7));
  if (!cutter.ok) return cutter;
  if (cutter.value === null) return success(null);
  const wall = cavity && wallLeft(cutter.value, cavity, leastWallMm, portion(interrupter, 0.7, 0.75));
  if (wall !== null && wall <= 0)
    return failure(
      'solid-failed',
      'it would break into the hollow. Keep the joint solid (keep-solid), or make the wall thicker.',
    );
  const cut = cutRelief(kernel, solid, cutter.value, boxMesh(box), portion(interrupter, 0.75, 0.9));
  if (!cut.ok) return cut;
  const { mesh, notes } = cut.value;
  const volume = (of: Mesh): number => massProperties(of, portion(interrupter, 0.9, 0.9)).volume;
  return success({
    mesh,
    notes,
    takenMm3: volume(solid) - volume(mesh),
    gapMm: leastGap(mesh, body, box, 2 * clearanceMm, portion(interrupter, 0.9, 1)) ?? clearanceMm,
    thinWallMm: wall,
    loosePieces: Math.max(0, bodiesIn(mesh) - bodiesIn(solid)),
  });
}

/** Shells that are solid, not hollows. */
const bodiesIn = (mesh: Mesh): number =>
  splitShells(mesh).filter((shell) => massProperties(shell, uninterrupted).volume > 0).length;

/** Null where it is no less than asked. */
function wallLeft(cutter: Mesh, cavity: Mesh, leastWallMm: number, interrupter: Interrupter): number | null {
  const { tree } = bodyOf(cavity, portion(interrupter, 0, 0.5));
  const least = leastGap(
    cutter,
    { tree },
    boundsOf(cutter.positions),
    leastWallMm,
    portion(interrupter, 0.5, 1),
  );
  return least !== null && least < leastWallMm ? least : null;
}

const bodyOf = (mesh: Mesh, interrupter: Interrupter): JointBody => ({
  mesh,
  tree: buildFacetTree(mesh, interrupter),
  bounds: boundsOf(mesh.positions),
});
