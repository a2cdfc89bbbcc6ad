import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Failure, failure, type Result } from '../core/result.ts';
import { compacted } from './compacted.ts';
import { abandonSolid } from './openSolid.ts';

/** Kernel objects live outside the garbage collector; a scope frees all that it was given. */
export interface SolidScope {
  readonly kernel: ManifoldToplevel;
  /** Frees `solid` when the scope ends. */
  keep(solid: Manifold): Manifold;
  /** A mesh as a solid; throws `SolidRefused` when the kernel does not take it. */
  solidOf(mesh: Mesh): Manifold;
  /** As `solidOf`; what becomes of the facets from `first` on can be told by the mark. */
  markedSolidOf(mesh: Mesh, first: number): { readonly solid: Manifold; readonly mark: number };
  /** The facets without any of the marks as a mesh, and the number of those with one. */
  unmarkedOf(solid: Manifold, marks: readonly number[]): { readonly mesh: Mesh; readonly marked: number };
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
    markedSolidOf: ({ positions, triangles }, first) => {
      const own = kernel.Manifold.reserveIDs(2);
      const mark = own + 1;
      const options = {
        numProp: 3,
        vertProperties: positions,
        triVerts: triangles,
        runIndex: Uint32Array.of(0, 3 * first, triangles.length),
        runOriginalID: Uint32Array.of(own, mark),
      };
      return { solid: checked(keep(kernel.Manifold.ofMesh(new kernel.Mesh(options)))), mark };
    },
    unmarkedOf: (solid, marks) => {
      const { vertProperties, triVerts, numProp, runIndex, runOriginalID } = checked(solid).getMesh();
      const runs = Array.from(runOriginalID, (id, n) => ({ id, from: runIndex[n]!, to: runIndex[n + 1]! }));
      const kept = runs
        .filter(({ id }) => !marks.includes(id))
        .map(({ from, to }) => triVerts.subarray(from, to));
      const triangles = new Uint32Array(kept.reduce((sum, run) => sum + run.length, 0));
      let at = 0;
      for (const run of kept) {
        triangles.set(run, at);
        at += run.length;
      }
      const marked = (triVerts.length - triangles.length) / 3;
      return { mesh: compacted(firstThree(vertProperties, numProp), triangles), marked };
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
