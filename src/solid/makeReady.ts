import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { failure, type Result, success } from '../core/result.ts';
import type { Unclean } from './closedPatch.ts';
import { cutNearby } from './cutNearby.ts';
import { cutWhole } from './cutWhole.ts';
import { isClosed } from './isClosed.ts';
import { separateVertices } from './separateVertices.ts';

export interface ReadySolid {
  readonly mesh: Mesh;
  /** What was done otherwise than usual, a sentence each. */
  readonly notes: readonly string[];
}

/**
 * The mesh to print: `outer`, with `cavity` (closed, outward as a solid of its own) taken out of it,
 * with every cutter subtracted. All in one frame, mm. Only the facets near a cutter are computed anew;
 * all others come first, untouched to the bit: the outer ones, then the cavity's, reversed. Where the
 * neighbourhood of a cutter is not clean, the whole part is computed anew, and a note says so.
 *
 * The result is a closed, oriented 2-manifold, and still one after it was written as float32 and
 * welded exactly. Fails `solid-not-closed` when a mesh given is none, `solid-failed` when the kernel
 * cannot subtract.
 */
export function makeReady(
  kernel: ManifoldToplevel,
  outer: Mesh,
  cavity: Mesh | null,
  cutters: readonly Mesh[],
  interrupter: Interrupter,
): Result<ReadySolid> {
  if (!cutters.every(isClosed)) return notClosed('An opening');
  const whole = cavity ? withCavity(outer, cavity) : outer;
  const near = cutters.length === 0 ? whole : cutNearby(kernel, whole, cutters, portion(interrupter, 0, 0.4));
  const proven = 'unclean' in near ? near : provenClosed(near, portion(interrupter, 0.4, 1));
  if (!('unclean' in proven)) {
    return proven.triangles.length > 0 ? success({ mesh: proven, notes: [] }) : takenAway();
  }
  // Whatever is at fault with a mesh that is not closed to begin with, that is the reason to tell.
  if (!isClosed(outer)) return notClosed('The part');
  if (cavity && !isClosed(cavity)) return notClosed('Its cavity');
  interrupter(0.5);
  const cut = cutWhole(kernel, whole, cutters);
  if (!cut.ok) return cut;
  if (cut.value.triangles.length === 0) return takenAway();
  const mesh = provenClosed(cut.value, portion(interrupter, 0.8, 1));
  if ('unclean' in mesh) {
    return failure(
      'solid-failed',
      'Cutting the openings left the mesh open; move or resize the opening that grazes an edge.',
    );
  }
  const note = `The openings were cut out of the part as a whole, because ${proven.unclean}: facets elsewhere may have changed.`;
  return success({ mesh, notes: [note] });
}

const takenAway = (): Result<never> =>
  failure('solid-failed', 'The openings take the whole part away; make them smaller.');

const notClosed = (what: string): Result<never> =>
  failure(
    'solid-not-closed',
    `${what} is not a closed, evenly oriented surface; repair the mesh before making it ready.`,
  );

function provenClosed(mesh: Mesh, interrupter: Interrupter): Mesh | Unclean {
  const separate = separateVertices(mesh);
  interrupter(0.5);
  return isClosed(separate) ? separate : { unclean: 'cutting only near them left the mesh open' };
}

const withCavity = (outer: Mesh, { positions, triangles }: Mesh): Mesh =>
  joinMeshes([outer, { positions, triangles: turnedRound(triangles) }]);
