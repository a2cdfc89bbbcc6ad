import { expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { clusterMesh } from '../../../src/core/mesh/clusterMesh.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { hollowSphere, sphere, torus, transformed, volumeOf } from '../../shapes.ts';

/** Uses of each directed edge less uses of its opposite: all nil when the surface is closed as a chain. */
function openChain({ triangles }: Mesh): number {
  const balance = new Map<string, number>();
  for (let at = 0; at < triangles.length; at += 3) {
    for (const [from, to] of [
      [0, 1],
      [1, 2],
      [2, 0],
    ] as const) {
      const a = triangles[at + from]!;
      const b = triangles[at + to]!;
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      balance.set(key, (balance.get(key) ?? 0) + (a < b ? 1 : -1));
    }
  }
  return [...balance.values()].filter((value) => value !== 0).length;
}

it.each([
  ['sphere', sphere(50, 256)],
  ['torus, turned', transformed(torus(40, 12, 300, 150), { turn: [31, 17, 5] })],
  ['hollow sphere', hollowSphere(40, 12, 200)],
])('keeps a %s closed, near the asked count and its volume', (_name, mesh) => {
  const target = 8000;
  const light = clusterMesh(mesh, target, uninterrupted);
  const facets = light.triangles.length / 3;
  expect(facets).toBeGreaterThan(target / 2.5);
  expect(facets).toBeLessThan(target * 1.6);
  expect(openChain(light)).toBe(0);
  expect(Math.abs(volumeOf(light) / volumeOf(mesh) - 1)).toBeLessThan(0.05);
});

it('gives back a mesh that is light enough', () => {
  const mesh = sphere(10, 32);
  expect(clusterMesh(mesh, 100_000, uninterrupted)).toBe(mesh);
});
