import type { Mesh } from '../mesh/mesh.ts';
import { exportScale } from './exportScale.ts';
import type { TrueSize } from './trueSize.ts';

/** A solid of the print frame and its mm³, drawn larger about the plate's centre so that it comes out at its size; itself where nothing shrinks. */
export function drawnLarger<S extends { readonly mesh: Mesh; readonly volume: number }>(
  solid: S,
  trueSize: Pick<TrueSize, 'shrinkage'>,
): S {
  if (trueSize.shrinkage.every((share) => share === 0)) return solid;
  const by = exportScale(trueSize);
  const positions = solid.mesh.positions.map((value, at) => value * by[at % 3]!);
  return {
    ...solid,
    mesh: { positions, triangles: solid.mesh.triangles },
    volume: solid.volume * by[0] * by[1] * by[2],
  };
}
