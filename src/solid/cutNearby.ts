import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { capLoop } from './capLoop.ts';
import { closedPatch, type Unclean } from './closedPatch.ts';
import { type ConvexBody, convexBody } from './convexBody.ts';
import { cutPatch } from './cutPatch.ts';
import { missingBoxes } from './missingBoxes.ts';
import { meetingBoxes, type Patch, patchesAround } from './patchesAround.ts';
import { type Replacement, replaceFacets } from './replaceFacets.ts';
import { windingsAt } from './windingsAt.ts';

/**
 * Facets that come this near to a cutter are cut with it, mm; the border of what is cut lies beyond.
 * The more, the easier the border is closed: each is tried when the one before was not clean.
 */
const marginsMm = [0.1, 0.5, 2];

/**
 * Takes the cutters out of a mesh by solids of their neighbourhoods alone: the facets near a cutter
 * are closed with caps, cut, freed of the caps and put back. Facets elsewhere stay as they are, to the
 * bit, and first in their order. Not for a neighbourhood that is not clean: then the whole is to be cut.
 *
 * Why that is exact: a cut keeps or drops a piece of a surface by the winding number of the other
 * about it. The caps keep clear of the cutters, so they are neither cut nor cut away, and around a
 * cutter the closed neighbourhood's winding number is the whole's up to a constant, which a ray tells
 * and boxes around everything make good.
 *
 * `hulls`: convex solids that the cutters lie in, one each; for cutters that are convex they are the same.
 */
export function cutNearby(
  kernel: ManifoldToplevel,
  whole: Mesh,
  cutters: readonly Mesh[],
  interrupter: Interrupter,
  hulls: readonly Mesh[] = cutters,
): Mesh | Unclean {
  const bodies: ConvexBody[] = [];
  for (const hull of hulls) {
    const body = convexBody(hull);
    if (body === null) return { unclean: 'a tube is curved' };
    bodies.push(body);
  }
  const middles = bodies.map(({ middle }) => middle);
  const windings = windingsAt(whole, middles, portion(interrupter, 0, 0.2));
  let cut: Mesh | Unclean = { unclean: 'nothing was tried' };
  for (const [n, margin] of marginsMm.entries()) {
    const share = portion(interrupter, 0.2 + 0.2 * n, 0.4 + 0.2 * n);
    const patches = patchesAround(whole, bodies, margin, meetingBoxes(bodies, margin), share);
    const replacements = cutPatches(kernel, whole, patches, { cutters, bodies, windings }, margin, share);
    if (Array.isArray(replacements)) return replaceFacets(whole, replacements);
    cut = replacements;
  }
  return cut;
}

interface Cutters {
  readonly cutters: readonly Mesh[];
  readonly bodies: readonly ConvexBody[];
  /** Of the whole about the middle of each. */
  readonly windings: Int32Array;
}

function cutPatches(
  kernel: ManifoldToplevel,
  whole: Mesh,
  patches: readonly Patch[],
  { cutters, bodies, windings }: Cutters,
  margin: number,
  interrupter: Interrupter,
): Replacement[] | Unclean {
  const vertexScratch = new Int32Array(whole.positions.length / 3).fill(-1);
  const replacements: Replacement[] = [];
  for (const { bodies: members, facets } of patches) {
    interrupter(1);
    const ownBodies = members.map((n) => bodies[n]!);
    const ownCutters = members.map((n) => cutters[n]!);
    const ownWindings = members.map((n) => windings[n]!);
    // Caps may come nearer than the border that they begin at.
    const capOf = (loop: Float32Array) => capLoop(loop, ownBodies, margin / 2);
    const closed = closedPatch(whole, facets, capOf, vertexScratch);
    if ('unclean' in closed) return closed;
    const boxes = missingBoxes(closed.mesh, ownBodies, ownWindings);
    if ('unclean' in boxes) return boxes;
    const cut = cutPatch(kernel, closed, boxes, ownCutters);
    if ('unclean' in cut) return cut;
    replacements.push({ facets, ...cut });
  }
  return replacements;
}
