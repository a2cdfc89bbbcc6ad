import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { joinIndices } from '../core/mesh/joinIndices.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { capLoop } from './capLoop.ts';
import { type ClosedPatch, closedPatch, type Unclean } from './closedPatch.ts';
import { type ConvexBody, convexBody } from './convexBody.ts';
import { facetsNear } from './facetsNear.ts';
import { facetsWithin } from './facetsWithin.ts';
import { fanCap } from './fanCap.ts';
import { missingBoxes } from './missingBoxes.ts';
import { type Pair, patchesAround } from './patchesAround.ts';
import { type Replacement, replaceFacets } from './replaceFacets.ts';
import { unitePatch } from './unitePatch.ts';
import { windingsAt } from './windingsAt.ts';

/** As in `cutNearby`: facets that come this near to a piece are united with it, mm. Wider ones would take in every tip. */
const marginsMm = [0.1, 0.5];
/** A piece that facets come this near to meets them, mm. */
const touchMm = 0.01;

/**
 * Unites `added`, the union of convex `pieces`, with a mesh by solids of their neighbourhoods alone.
 * Pieces that no facet of the mesh comes near stay as they are, and so do all facets away from those
 * that meet it: the mesh's first, then those of `added`, in their order and to the bit. Unclean where
 * a neighbourhood cannot be closed, or a piece lies within the mesh.
 *
 * Why that is exact: the mesh's neighbourhood is closed by caps that keep clear of the pieces, what is
 * added there by caps within the pieces, in air. Neither caps meet anything of the other, so the union
 * keeps or drops a piece of either surface by the winding number that the whole has there. Caps that do
 * meet something come out changed, which is seen.
 */
export function uniteNearby(
  kernel: ManifoldToplevel,
  whole: Mesh,
  added: Mesh,
  pieces: readonly Mesh[],
  interrupter: Interrupter,
): Mesh | Unclean {
  const met = meetingPieces(whole, pieces, portion(interrupter, 0, 0.2));
  if ('unclean' in met) return met;
  let united: Mesh | Unclean = { unclean: 'nothing was tried' };
  for (const [n, margin] of marginsMm.entries()) {
    const share = portion(interrupter, 0.2 + 0.4 * n, 0.6 + 0.4 * n);
    const replacements = unitePatches(kernel, whole, added, met, margin, share);
    if (Array.isArray(replacements)) return replaceFacets(joinMeshes([whole, added]), replacements);
    united = replacements;
  }
  return united;
}

interface MeetingPieces {
  readonly bodies: readonly ConvexBody[];
  /** Of the whole about the middle of each. */
  readonly windings: readonly number[];
}

/** The pieces that the whole's facets meet; all others have to be in air. */
function meetingPieces(
  whole: Mesh,
  pieces: readonly Mesh[],
  interrupter: Interrupter,
): MeetingPieces | Unclean {
  const bodies = pieces.flatMap((piece) => convexBody(piece) ?? []);
  if (bodies.length < pieces.length) return { unclean: 'a support is not convex' };
  const middles = bodies.map(({ middle }) => middle);
  const windings = windingsAt(whole, middles, portion(interrupter, 0, 0.5));
  const near = facetsNear(whole, bodies, touchMm, portion(interrupter, 0.5, 1));
  if (bodies.some((_, n) => near[n]!.length === 0 && windings[n] !== 0)) {
    return { unclean: 'a piece of a support lies within the part' };
  }
  const meeting = bodies.flatMap((body, n) => (near[n]!.length > 0 ? [{ body, winding: windings[n]! }] : []));
  return { bodies: meeting.map(({ body }) => body), windings: meeting.map(({ winding }) => winding) };
}

function unitePatches(
  kernel: ManifoldToplevel,
  whole: Mesh,
  added: Mesh,
  { bodies, windings }: MeetingPieces,
  margin: number,
  interrupter: Interrupter,
): Replacement[] | Unclean {
  const vertices = whole.positions.length / 3;
  const facets = whole.triangles.length / 3;
  const scratch = new Int32Array(vertices).fill(-1);
  const addedScratch = new Int32Array(added.positions.length / 3).fill(-1);
  const within = facetsWithin(added, bodies);
  const replacements: Replacement[] = [];
  for (const patch of patchesAround(whole, bodies, margin, sharingFacets(within), interrupter)) {
    interrupter(1);
    const members = patch.bodies.map((n) => bodies[n]!);
    const own = Uint32Array.from(new Set(patch.bodies.flatMap((n) => within[n]!))).sort();
    // Caps may come nearer than the border that they begin at.
    const closed = closedPatch(whole, patch.facets, (loop) => capLoop(loop, members, margin / 2), scratch);
    if ('unclean' in closed) return closed;
    const boxes = missingBoxes(
      closed.mesh,
      members,
      patch.bodies.map((n) => windings[n]!),
    );
    if ('unclean' in boxes) return boxes;
    const other: ClosedPatch | Unclean = closedPatch(added, own, fanCap, addedScratch);
    if ('unclean' in other) return other;
    const united = unitePatch(kernel, closed, boxes, other, vertices);
    if ('unclean' in united) return united;
    const gone = joinIndices([patch.facets, own.map((n) => n + facets)]);
    replacements.push({ facets: gone, ...united });
  }
  return replacements;
}

/** Pieces that have a facet of what is added in common. */
function* sharingFacets(within: readonly (readonly number[])[]): Generator<Pair> {
  const holder = new Map<number, number>();
  for (const [n, facets] of within.entries()) {
    for (const facet of facets) {
      const other = holder.get(facet);
      if (other === undefined) holder.set(facet, n);
      else if (other !== n) yield [n, other];
    }
  }
}
