import type { ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { closedPatch, type Unclean } from './closedPatch.ts';
import { type ConvexBody, convexBody } from './convexBody.ts';
import { cutPatch } from './cutPatch.ts';
import { missingBoxes } from './missingBoxes.ts';
import { patchesAround } from './patchesAround.ts';
import { type Replacement, replaceFacets } from './replaceFacets.ts';
import { windingsAt } from './windingsAt.ts';

/** Facets that come this near to a cutter are cut with it, mm; the border of what is cut lies beyond. */
const marginMm = 0.1;
/** Caps keep this from the cutters, mm. */
const clearanceMm = 0.05;

/**
 * Takes the cutters out of a mesh by solids of their neighbourhoods alone: the facets near a cutter
 * are closed with caps, cut, freed of the caps and put back. Facets elsewhere stay as they are, to the
 * bit, and first in their order. Not for a neighbourhood that is not clean: then the whole is to be cut.
 *
 * Why that is exact: a cut keeps or drops a piece of a surface by the winding number of the other
 * about it. The caps keep clear of the cutters, so they are neither cut nor cut away, and around a
 * cutter the closed neighbourhood's winding number is the whole's up to a constant, which a ray tells
 * and boxes around everything make good.
 */
export function cutNearby(
  kernel: ManifoldToplevel,
  whole: Mesh,
  cutters: readonly Mesh[],
  interrupter: Interrupter,
): Mesh | Unclean {
  const bodies: ConvexBody[] = [];
  for (const cutter of cutters) {
    const body = convexBody(cutter);
    if (body === null) return { unclean: 'a cutter is not convex' };
    bodies.push(body);
  }
  const patches = patchesAround(whole, bodies, marginMm, portion(interrupter, 0, 0.3));
  const windings = windingsAt(
    whole,
    bodies.map(({ middle }) => middle),
    portion(interrupter, 0.3, 0.5),
  );
  const vertexScratch = new Int32Array(whole.positions.length / 3).fill(-1);
  const replacements: Replacement[] = [];
  for (const [n, patch] of patches.entries()) {
    interrupter(0.5 + (0.3 * n) / patches.length);
    const ownBodies = patch.bodies.map((body) => bodies[body]!);
    const closed = closedPatch(whole, patch.facets, ownBodies, clearanceMm, vertexScratch);
    if ('unclean' in closed) return closed;
    const boxes = missingBoxes(
      closed.mesh,
      ownBodies,
      patch.bodies.map((body) => windings[body]!),
    );
    if (!Array.isArray(boxes)) return boxes;
    const replacement = cutPatch(
      kernel,
      closed,
      boxes,
      patch.bodies.map((body) => cutters[body]!),
    );
    if ('unclean' in replacement) return replacement;
    replacements.push({ facets: patch.facets, ...replacement });
  }
  interrupter(0.8);
  return replaceFacets(whole, replacements);
}
