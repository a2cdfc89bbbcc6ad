import { describe, expect, it } from 'vitest';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { sortEdges, sortEdgesByCounting } from '../../../src/core/mesh/sortEdges.ts';
import { cone, icosphere, join, meshOf, random, torus } from '../../shapes.ts';

describe('edges in fans come as those sorted by counting', () => {
  const next = random(61);
  const pick = (n: number) => Math.floor(next() * n);
  /** Any facets on so many vertices, with equal corners, repeats and all. */
  const anything = (vertices: number, facets: number): Mesh =>
    meshOf(
      new Float32Array(3 * vertices),
      Array.from({ length: 3 * facets }, () => pick(vertices)),
    );
  const meshes: [string, Mesh][] = [
    ['torus', torus(10, 3)],
    ['bodies', join(icosphere(3, 3), torus(5, 1, 9, 7))],
    ['a tip of many facets', cone(3, 5, 500)],
    ['few vertices', anything(5, 40)],
    ['many', anything(3000, 4000)],
    ['nothing', meshOf([], [])],
    ['one vertex', anything(1, 7)],
    ...Array.from({ length: 60 }, (_, i): [string, Mesh] => [
      `seed 61, ${i}`,
      anything(1 + pick(60), pick(200)),
    ]),
  ];
  it.each(meshes)('%s', (_name, mesh) => {
    const skip = Uint8Array.from({ length: mesh.triangles.length / 3 }, () => (next() < 0.2 ? 1 : 0));
    for (const some of [null, skip]) expect(sortEdges(mesh, some)).toEqual(sortEdgesByCounting(mesh, some));
  });
});
