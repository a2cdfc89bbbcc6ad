import { BufferAttribute, BufferGeometry, Ray, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { expect, test } from 'vitest';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { lineHits } from '../../oracles/openings/lineHitsByTree.ts';
import * as shapes from '../../shapes.ts';

const seed = 20240917;

function referenceOf({ positions, triangles }: Mesh): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setIndex(new BufferAttribute(triangles.slice(), 1));
  return new MeshBVH(geometry, { indirect: true });
}

const meshes: [string, Mesh | null][] = [
  ['torus', shapes.torus(20, 6, 64, 32)],
  ['box', shapes.box([40, 30, 3])],
  ['one facet', shapes.meshOf([0, 0, 0, 10, 0, 0, 0, 10, 0], [0, 1, 2])],
  ['human_cc0', shapes.loadSharedMesh('human_cc0')],
];

test.each(meshes)('closest points and line crossings of %s agree with three-mesh-bvh', (name, mesh) => {
  if (mesh === null) return;
  const tree = buildFacetTree(mesh);
  const reference = referenceOf(mesh);
  const next = shapes.random(seed);
  const found = closestPointScratch();
  const point = new Vector3();
  const size = 60;
  for (let n = 0; n < 400; n++) {
    point.set((next() - 0.5) * size, (next() - 0.5) * size, (next() - 0.5) * size);
    const expected = reference.closestPointToPoint(point)!.distance;
    const hint = Math.floor((next() * mesh.triangles.length) / 3);
    for (const start of [-1, hint]) {
      closestPoint(tree, point.x, point.y, point.z, start, found);
      expect(
        Math.abs(Math.sqrt(found.squared) - expected),
        `seed ${seed}, point ${n} of ${name}`,
      ).toBeLessThan(1e-5);
    }
    const direction = new Vector3(next() - 0.5, next() - 0.5, next() - 0.5).normalize();
    const first = reference.raycastFirst(new Ray(point, direction), 2);
    const [hit] = lineHits(tree, point.toArray(), direction.toArray(), 0, Infinity);
    expect(hit?.at ?? -1, `seed ${seed}, line ${n} of ${name}`).toBeCloseTo(first?.distance ?? -1, 3);
  }
});
