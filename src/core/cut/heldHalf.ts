import { transformMesh } from '../affine.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { rotationOf } from '../mesh/rotationOf.ts';
import { heldSurface } from '../pose/heldSurface.ts';
import { plateFit } from '../pose/plateFit.ts';
import type { SupportRoom } from '../pose/supportRoom.ts';
import type { Vec3 } from '../vector.ts';
import { boundsOfAll, fitsOf, type HalfFit, roomiest } from './halfFit.ts';

/** What halves lie in; mm. */
export interface HalfRoom {
  /** What the machine has along x, y and z, margins taken off. */
  readonly room: Vec3;
  /** As the manifest raises the part. */
  readonly raiseMm: number;
  readonly supports: SupportRoom;
  /** Whether the part has supports planned. */
  readonly isPlanned: boolean;
  readonly layerMm: number;
  readonly selfSupportDeg: number;
  /** kPa. */
  readonly peel: number;
}

/** A half as it lies, with the room that its supports want. */
export interface HeldHalf extends HalfFit {
  readonly raiseMm: number;
  /** With the feet of its supports. */
  readonly heldMm: readonly [x: number, y: number];
  readonly fitsHeld: boolean;
}

/**
 * The first turn in which a half fits with its supports; else the first in which it fits by itself; else the one in which least
 * is wanting. Where no supports are planned, one that stands by itself and fits is as good as one with room for them: what hangs
 * over hung over in the whole part. `mesh` in print mm. A half that is not raised and lies on enough to hold the pull of its mean layer stands by itself.
 */
export function heldHalf(mesh: Mesh, volumeMm3: number, turns: readonly Vec3[], half: HalfRoom): HeldHalf {
  const [x, y, z] = half.room;
  const bare = fitsOf(boundsOfAll(mesh.positions, turns), turns, [x, y, z - half.raiseMm], 1);
  let first: HeldHalf | null = null;
  for (const fit of bare.filter(({ fits }) => fits)) {
    const held = heldAs(mesh, fit, volumeMm3, half);
    if (held.fitsHeld || (!half.isPlanned && held.raiseMm === 0)) return held;
    first ??= held;
  }
  return first ?? heldAs(mesh, roomiest(bare), volumeMm3, half);
}

function heldAs(mesh: Mesh, fit: HalfFit, volumeMm3: number, half: HalfRoom): HeldHalf {
  const turned = transformMesh(mesh, { linear: [...rotationOf(fit.turn)], shift: [0, 0, 0] });
  const { hanging, contact, contactMm2 } = heldSurface(turned, half.layerMm, half.selfSupportDeg);
  const meanPullN = half.peel * 1e-3 * (volumeMm3 / fit.sizeMm[2]);
  const stands = half.raiseMm === 0 && contactMm2 * half.supports.holdN >= meanPullN;
  const raiseMm = stands ? 0 : Math.max(half.raiseMm, half.supports.raiseMm);
  const points = stands ? hanging : joined(hanging, contact);
  const [x, y, z] = half.room;
  const held = { points, reachMm: half.supports.reachMm };
  const { heldMm, fits } = plateFit(new Float64Array(turned.positions), [x, y, z - raiseMm], 0, held);
  return { ...fit, raiseMm, heldMm, fitsHeld: fits };
}

function joined(a: Float64Array, b: Float64Array): Float64Array {
  const both = new Float64Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}
