import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Failure, failure, type Result } from '../core/result.ts';
import { abandonSolid } from './openSolid.ts';

/** Kernel objects live outside the garbage collector; a scope frees all that it was given. */
export interface SolidScope {
  readonly kernel: ManifoldToplevel;
  /** Frees `solid` when the scope ends. */
  keep(solid: Manifold): Manifold;
  /** A mesh as a solid; throws `SolidRefused` when the kernel does not take it. */
  solidOf(mesh: Mesh): Manifold;
  /** A solid as a mesh; an evaluation that failed throws `SolidRefused`. */
  meshOf(solid: Manifold): Mesh;
}

/** The kernel's own status of a solid that it could not make. */
export class SolidRefused extends Error {}

/** Runs `work` with a scope; whatever happens inside, every kernel object is freed and errors become values. */
export function inSolidScope<T>(kernel: ManifoldToplevel, work: (scope: SolidScope) => Result<T>): Result<T> {
  const kept: Manifold[] = [];
  try {
    return work(scopeOf(kernel, kept));
  } catch (error) {
    if (error instanceof SolidRefused) return { ok: false, error: refusal(error.message) };
    if (error instanceof Error && (error.name === 'RuntimeError' || error instanceof RangeError)) {
      abandonSolid();
      return failure(
        'solid-failed',
        `The solid kernel gave up (${error.message}), most likely for want of memory; cut the part into smaller ones.`,
      );
    }
    throw error;
  } finally {
    for (const solid of kept) solid.delete();
  }
}

const refusal = (status: string): Failure => ({
  code: 'solid-failed',
  message: `The solid kernel could not work on the mesh (${status}); repair the part in the sculpting program and export it again.`,
});

function scopeOf(kernel: ManifoldToplevel, kept: Manifold[]): SolidScope {
  const keep = (solid: Manifold): Manifold => {
    kept.push(solid);
    return solid;
  };
  const checked = (solid: Manifold): Manifold => {
    const status = solid.status();
    if (status !== 'NoError') throw new SolidRefused(status);
    return solid;
  };
  return {
    kernel,
    keep,
    solidOf: (mesh) => {
      const { positions, triangles } = mesh;
      const options = { numProp: 3, vertProperties: positions, triVerts: triangles };
      return checked(keep(kernel.Manifold.ofMesh(new kernel.Mesh(options))));
    },
    meshOf: (solid) => {
      const { vertProperties, triVerts, numProp } = checked(solid).getMesh();
      return { positions: firstThree(vertProperties, numProp), triangles: triVerts.slice() };
    },
  };
}

function firstThree(properties: Float32Array, numProp: number): Float32Array {
  if (numProp === 3) return properties.slice();
  const positions = new Float32Array((3 * properties.length) / numProp);
  for (let v = 0; 3 * v < positions.length; v++) {
    positions.set(properties.subarray(numProp * v, numProp * v + 3), 3 * v);
  }
  return positions;
}
