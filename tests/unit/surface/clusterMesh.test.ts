import { expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { clusterMesh } from '../../../src/core/surface/clusterMesh.ts';
import { hollowSphere, join, sphere, torus, transformed, volumeOf } from '../../shapes.ts';
import { openChain } from './openChain.ts';

it.each([
  ['sphere', sphere(50, 256)],
  ['torus, turned', transformed(torus(40, 12, 300, 150), { turn: [31, 17, 5] })],
  ['hollow sphere', hollowSphere(40, 12, 200)],
])('keeps a %s closed, near the asked count and its volume', (_name, mesh) => {
  const target = 8000;
  const { mesh: light, movedAtMost } = clusterMesh(mesh, target, uninterrupted);
  expect(movedAtMost).toBeGreaterThan(0);
  const facets = light.triangles.length / 3;
  expect(facets).toBeGreaterThan(target / 2.5);
  expect(facets).toBeLessThan(target * 1.6);
  expect(openChain(light)).toBe(0);
  expect(Math.abs(volumeOf(light) / volumeOf(mesh) - 1)).toBeLessThan(0.05);
});

it('gives back a mesh that is light enough', () => {
  const mesh = sphere(10, 32);
  expect(clusterMesh(mesh, 100_000, uninterrupted)).toEqual({ mesh, movedAtMost: 0 });
});

it('puts every vertex at the mean of its cell’s, numbered by first vertex, as a map of strings would', () => {
  const mesh = transformed(torus(40, 12, 90, 50), { turn: [31, 17, 5], shift: [-70, 3, 900] });
  const { mesh: light, movedAtMost } = clusterMesh(mesh, 1500, uninterrupted);
  const cell = movedAtMost / Math.sqrt(3);
  const axes = [0, 1, 2];
  const low = axes.map((axis) => Math.min(...mesh.positions.filter((_, i) => i % 3 === axis)));
  const cells = new Map<string, number[][]>();
  for (let at = 0; at < mesh.positions.length; at += 3) {
    const point = axes.map((axis) => mesh.positions[at + axis]!);
    const key = point.map((value, axis) => Math.floor((value - low[axis]!) / cell)).join();
    cells.set(key, [...(cells.get(key) ?? []), point]);
  }
  const means = [...cells.values()].flatMap((points) =>
    axes.map((axis) => points.reduce((sum, point) => sum + point[axis]!, 0) / points.length),
  );
  expect(light.positions).toEqual(Float32Array.from(means));
});

it('survives specks far apart and a mesh that is one point', () => {
  const specks = join(sphere(0.01, 40), transformed(sphere(0.01, 40), { shift: [1e6, 0, 0] }));
  const { mesh } = clusterMesh(specks, 100, uninterrupted);
  expect(openChain(mesh)).toBe(0);
  const point = { positions: new Float32Array(9), triangles: Uint32Array.of(0, 1, 2) };
  expect(clusterMesh(point, 0, uninterrupted).mesh).toBe(point);
});
