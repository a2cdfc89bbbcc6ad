import { describe, expect, it } from 'vitest';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';

const { box, cone, cup, cylinder, hollowSphere, icosphere, polygonArea, sphere, torus, tube, volumeOf } =
  shapes;

/** Every directed edge exactly once and its opposite too: closed, oriented, 2-manifold across edges. */
function unpairedEdges(mesh: Mesh): number {
  const edges = new Map<string, number>();
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    for (let i = 0; i < 3; i++) {
      const key = `${mesh.triangles[t + i]},${mesh.triangles[t + ((i + 1) % 3)]}`;
      edges.set(key, (edges.get(key) ?? 0) + 1);
    }
  }
  let bad = 0;
  for (const [key, count] of edges) {
    const [a, b] = key.split(',');
    if (count !== 1 || edges.get(`${b},${a}`) !== 1) bad++;
  }
  return bad;
}

const smooth = (4 / 3) * Math.PI;
const cases: [string, Mesh, number, number][] = [
  ['box', box([2, 3, 4]), 24, 1e-12],
  ['sphere', sphere(10, 256), smooth * 1000, 5e-4],
  ['icosphere', icosphere(10, 5), smooth * 1000, 1e-3],
  ['torus', torus(10, 3, 256, 128), 2 * Math.PI ** 2 * 10 * 9, 1e-3],
  ['cylinder', cylinder(5, 7, 12), polygonArea(5, 12) * 7, 1e-6],
  ['cone', cone(5, 6, 12), polygonArea(5, 12) * 2, 1e-6],
  ['tube', tube(5, 3, 7, 12), (polygonArea(5, 12) - polygonArea(3, 12)) * 7, 1e-6],
  ['cup', cup(5, 3, 7, 2, 12), polygonArea(5, 12) * 7 - polygonArea(3, 12) * 5, 1e-6],
  ['hollow sphere', hollowSphere(10, 2, 256), smooth * (1000 - 512), 5e-4],
];

describe('test shapes', () => {
  it.each(cases)('%s is closed, oriented and has its volume', (_name, mesh, volume, tolerance) => {
    expect(unpairedEdges(mesh)).toBe(0);
    expect(Math.abs(volumeOf(mesh) / volume - 1)).toBeLessThan(tolerance);
  });

  it('keeps volume under turns and scales it cubed', () => {
    const moved = shapes.transformed(torus(10, 3), { scale: 2, turn: [20, -35, 110], shift: [5, 6, 7] });
    expect(volumeOf(moved) / volumeOf(torus(10, 3))).toBeCloseTo(8, 4);
  });
});
