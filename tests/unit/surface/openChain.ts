import type { Mesh } from '../../../src/core/mesh/mesh.ts';

/** Edges used more often one way than the other: none when the surface is closed as a chain. */
export function openChain({ triangles }: Mesh): number {
  const balance = new Map<number, number>();
  for (let at = 0; at < triangles.length; at += 3) {
    for (const [from, to] of [
      [0, 1],
      [1, 2],
      [2, 0],
    ] as const) {
      const a = triangles[at + from]!;
      const b = triangles[at + to]!;
      const key = Math.min(a, b) * 2 ** 26 + Math.max(a, b);
      balance.set(key, (balance.get(key) ?? 0) + (a < b ? 1 : -1));
    }
  }
  return [...balance.values()].filter((value) => value !== 0).length;
}
