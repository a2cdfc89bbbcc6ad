import type { Manifold } from 'manifold-3d';
import { uninterrupted } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import { buildSurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { failure, type Result, success } from '../core/result.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import { isClosed } from './isClosed.ts';
import type { SolidScope } from './solidScope.ts';
import { windingsAt } from './windingsAt.ts';

/** The body of a part within a box that has the place, in the frame of the part, mm. */
export interface ProofCut {
  /** Closed and oriented; no triangles where nothing of the part is in the box. */
  readonly mesh: Mesh;
  /** Bodies in the box that nothing of it holds together with this one, and that were left out. */
  readonly others: number;
  readonly othersMm3: number;
}

/** A shell of what is in the box; one of negative volume is a void in a body. */
interface Shell {
  readonly mesh: Mesh;
  readonly volume: number;
}

/** Cuts a solid of the scope by a box and keeps the body that is nearest to the place, its voids with it. */
export function cutProof(scope: SolidScope, solid: Manifold, box: Box, place: Vec3): Result<ProofCut> {
  const size = box.max.map((high, axis) => high - box.min[axis]!) as [number, number, number];
  const cube = scope.keep(scope.keep(scope.kernel.Manifold.cube(size)).translate([...box.min]));
  const parts = scope.keep(solid.intersect(cube)).decompose().map(scope.keep);
  const bodies = withVoids(parts.map((part) => ({ mesh: scope.meshOf(part), volume: part.volume() })));
  const [first] = bodies;
  if (first === undefined) return success({ mesh: noMesh, others: 0, othersMm3: 0 });
  const nearest = bodies
    .map((body) => ({ body, distance: distanceTo(body.mesh, place) }))
    .reduce((a, b) => (b.distance < a.distance ? b : a)).body;
  const { mesh } = nearest;
  if (!isClosed(mesh))
    return failure('solid-failed', 'Cutting the piece out left it open; try another --size.');
  const all = bodies.reduce((sum, { volume }) => sum + volume, 0);
  return success({ mesh, others: bodies.length - 1, othersMm3: all - nearest.volume });
}

const noMesh: Mesh = { positions: new Float32Array(0), triangles: new Uint32Array(0) };

/** Every outward shell with the voids that lie in it and in no smaller one. */
function withVoids(shells: readonly Shell[]): Shell[] {
  const bodies = shells.filter(({ volume }) => volume > 0).sort((a, b) => a.volume - b.volume);
  const voids = shells.filter(({ volume }) => volume < 0);
  const holderOf = voids.map(({ mesh: { positions } }) => {
    const point: Vec3 = [positions[0]!, positions[1]!, positions[2]!];
    return bodies.findIndex(({ mesh }) => windingsAt(mesh, [point], uninterrupted)[0]! > 0);
  });
  return bodies.map((body, n) => {
    const own = [body, ...voids.filter((_, at) => holderOf[at] === n)];
    return {
      mesh: own.length === 1 ? body.mesh : joinMeshes(own.map(({ mesh }) => mesh)),
      volume: own.reduce((sum, { volume }) => sum + volume, 0),
    };
  });
}

const distanceTo = (mesh: Mesh, place: Vec3): number =>
  closestOnSurface(buildSurfaceIndex(mesh), place).distanceMm;
