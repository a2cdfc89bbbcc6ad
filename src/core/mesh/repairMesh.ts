import { type Interrupter, portion } from '../interrupter.ts';
import { type ClosedSurface, closedSurface, rememberTurned } from './closedSurface.ts';
import { closeHoles } from './closeHoles.ts';
import { dropSpareFacets } from './dropSpareFacets.ts';
import { edgesOf } from './edgesOf.ts';
import { massProperties } from './massProperties.ts';
import { matchHalfEdges, noTwin } from './matchHalfEdges.ts';
import type { Mesh } from './mesh.ts';
import { orientFacets, turnedInsideOut } from './orientFacets.ts';

import { splitDoubledEdges } from './splitDoubledEdges.ts';
import { splitVertices } from './splitVertices.ts';
import { countEdges } from './topology.ts';

export interface RepairedMesh {
  readonly mesh: Mesh;
  /** What was done, a phrase each, for people. Empty for a clean mesh, which comes back as the same object. */
  readonly repaired: readonly string[];
  /** Closed and consistently oriented: every half-edge has exactly one opposite. */
  readonly sound: boolean;
  /** The whole mesh enclosed a negative volume and has been turned. */
  readonly insideOut: boolean;
}

/** Each round closes at least one seam of every facet that has one; facets with more are rare. */
const mostRounds = 16;

/**
 * Mends a welded mesh: drops facets without area and repeats, makes each shell agree with itself, closes
 * seams and holes, takes apart surfaces that only touch, and turns the whole mesh outward when its
 * signed volume is negative. A single shell that is inverted among others is left to `classifyShells`.
 * No vertex moves; new ones appear only in the middle of edges that touch themselves.
 * `signedVolume`: that of the mesh as it comes, when it is known.
 */
export function repairMesh(mesh: Mesh, interrupter: Interrupter, signedVolume?: number): RepairedMesh {
  const surface = closedSurface(mesh, portion(interrupter, 0, 0.2));
  if (surface === null) return mendMesh(mesh, portion(interrupter, 0.2, 1));
  const volume = signedVolume ?? massProperties(mesh, portion(interrupter, 0.2, 1)).volume;
  const insideOut = volume < 0;
  if (!insideOut) return { mesh, repaired: [], sound: true, insideOut };
  return { mesh: turnedOutward(mesh, surface), repaired: [turnedPhrase], sound: true, insideOut };
}

const turnedPhrase = 'whole mesh turned, it was inside out';

/** The same of any mesh, step by step: what is done unless the surface is closed. */
function mendMesh(mesh: Mesh, interrupter: Interrupter): RepairedMesh {
  const repaired: string[] = [];
  const note = (count: number, one: string, many: string) => {
    if (count > 0) repaired.push(`${count} ${count === 1 ? one : many}`);
  };
  const spare = dropSpareFacets(mesh);
  note(spare.withoutArea, 'triangle without area dropped', 'triangles without area dropped');
  note(spare.repeated, 'repeated triangle dropped', 'repeated triangles dropped');
  interrupter(0.2);
  const oriented = orientFacets(spare.mesh);
  note(
    oriented.turned,
    'triangle turned round to agree with its neighbours',
    'triangles turned round to agree with their neighbours',
  );
  interrupter(0.4);
  const closed = closeAll(oriented.mesh, portion(interrupter, 0.4, 0.8));
  note(
    closed.seams,
    'seam closed where a corner met the middle of an edge',
    'seams closed where a corner met the middle of an edge',
  );
  note(closed.holes, 'hole filled', `holes filled (${closed.facetsAdded} new triangles)`);
  const { surface } = closed;
  const apart =
    closed.twin === null ? { mesh: closed.mesh, split: 0, halved: 0 } : takeApart(closed.mesh, closed.twin);
  note(apart.split, 'corner doubled where surfaces only touch', 'corners doubled where surfaces only touch');
  note(
    apart.halved,
    'edge split where a surface touches itself',
    'edges split where a surface touches itself',
  );
  const insideOut = massProperties(apart.mesh, portion(interrupter, 0.9, 1)).volume < 0;
  if (insideOut) repaired.push(turnedPhrase);
  return {
    mesh: insideOut ? turnedOutward(apart.mesh, surface) : apart.mesh,
    repaired,
    sound: surface !== null || isSound(apart.mesh),
    insideOut,
  };
}

function turnedOutward(mesh: Mesh, surface: ClosedSurface | null): Mesh {
  const turned = turnedInsideOut(mesh);
  if (surface !== null) rememberTurned(turned, surface);
  return turned;
}

/** Splitting an edge can only bring its halves into question again, so few rounds settle it. */
function takeApart(mesh: Mesh, twin: Int32Array) {
  const sum = { mesh, split: 0, halved: 0 };
  let pairs = twin;
  for (let round = 0; round < mostRounds; round++) {
    const apart = splitVertices(sum.mesh, pairs);
    const halves = splitDoubledEdges(apart.mesh, pairs);
    sum.mesh = halves.mesh;
    sum.split += apart.split;
    sum.halved += halves.split;
    if (halves.split === 0) break;
    pairs = matchHalfEdges(sum.mesh);
  }
  return sum;
}

/** Counted anew from the result, not concluded from what was done. */
function isSound(mesh: Mesh): boolean {
  const { openEdges, nonmanifoldEdges, misorientedEdges } = countEdges(mesh, edgesOf(mesh));
  return mesh.triangles.length > 0 && openEdges + nonmanifoldEdges + misorientedEdges === 0;
}

/** Once the surface is closed there is nothing to take apart, and no twins are needed. */
function closeAll(mesh: Mesh, interrupter: Interrupter) {
  const sum = { mesh, holes: 0, facetsAdded: 0, seams: 0 };
  for (let round = 0; round < mostRounds; round++) {
    const turn = portion(interrupter, round / mostRounds, (round + 1) / mostRounds);
    const surface = closedSurface(sum.mesh, turn);
    if (surface !== null) return { ...sum, surface, twin: null };
    const twin = matchHalfEdges(sum.mesh);
    if (!twin.includes(noTwin)) return { ...sum, surface, twin };
    const closed = closeHoles(sum.mesh, twin, turn);
    if (closed.mesh === sum.mesh) return { ...sum, surface, twin };
    sum.mesh = closed.mesh;
    sum.holes += closed.holes;
    sum.facetsAdded += closed.facetsAdded;
    sum.seams += closed.seams;
  }
  return { ...sum, surface: null, twin: matchHalfEdges(sum.mesh) };
}
