import type { ShellLabels } from '../../src/core/mesh/labelShells.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';

export interface ShellFigures {
  readonly triangles: Uint32Array;
  readonly volume: Float64Array;
  /** Six values a shell: min x,y,z, max x,y,z. */
  readonly bounds: Float64Array;
}

/** What `classifyShells` measures of each shell, facet by facet. */
export function measureShells(
  { positions: p, triangles: t }: Mesh,
  { label, count }: ShellLabels,
): ShellFigures {
  const triangles = new Uint32Array(count);
  const volume = new Float64Array(count);
  const bounds = new Float64Array(6 * count);
  // Volumes are taken about a corner of each shell, which keeps the terms small.
  const origin = new Float64Array(3 * count);
  for (let f = 0; f < label.length; f++) {
    const shell = label[f]!;
    const first = triangles[shell]!++ === 0;
    if (first) for (let axis = 0; axis < 3; axis++) origin[3 * shell + axis] = p[3 * t[3 * f]! + axis]!;
    for (let h = 3 * f; h < 3 * f + 3; h++) {
      for (let axis = 0; axis < 3; axis++) {
        const value = p[3 * t[h]! + axis]!;
        const low = 6 * shell + axis;
        bounds[low] = first && h === 3 * f ? value : Math.min(bounds[low]!, value);
        bounds[low + 3] = first && h === 3 * f ? value : Math.max(bounds[low + 3]!, value);
      }
    }
    volume[shell]! += volumeAbout(p, t, f, origin, 3 * shell);
  }
  return { triangles, volume, bounds };
}

function volumeAbout(p: Float32Array, t: Uint32Array, f: number, origin: Float64Array, at: number): number {
  const a = 3 * t[3 * f]!;
  const b = 3 * t[3 * f + 1]!;
  const c = 3 * t[3 * f + 2]!;
  const ox = origin[at]!;
  const oy = origin[at + 1]!;
  const oz = origin[at + 2]!;
  const bx = p[b]! - ox;
  const by = p[b + 1]! - oy;
  const bz = p[b + 2]! - oz;
  const cx = p[c]! - ox;
  const cy = p[c + 1]! - oy;
  const cz = p[c + 2]! - oz;
  return (
    ((p[a]! - ox) * (by * cz - bz * cy) +
      (p[a + 1]! - oy) * (bz * cx - bx * cz) +
      (p[a + 2]! - oz) * (bx * cy - by * cx)) /
    6
  );
}
