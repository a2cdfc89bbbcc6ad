import { expect, test } from 'vitest';
import { buildBoundingSlabs } from '../../../src/core/field/boundingSlabs.ts';
import { closestPoint, closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import { closestNear, enterBlock, nearFacets, scanNear } from '../../../src/core/field/nearFacets.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';

const seed = 20240918;

/** Facets thrown about, some of them without area: nothing a surface would promise. */
function litter(count: number): Mesh {
  const next = shapes.random(seed);
  const positions: number[] = [];
  for (let f = 0; f < count; f++) {
    const corner = [next(), next(), next()].map((value) => 24 * (value - 0.5));
    const size = f % 7 === 0 ? 0 : 3;
    for (let c = 0; c < 3; c++) positions.push(...corner.map((value) => value + size * (next() - 0.5)));
  }
  return shapes.meshOf(positions, [...Array(3 * count).keys()]);
}

const meshes: [string, Mesh][] = [
  ['torus', shapes.torus(9, 3, 96, 48)],
  ['box', shapes.box([20, 14, 3])],
  ['litter', litter(3000)],
  ['one facet', shapes.meshOf([0, 0, 0, 10, 0, 0, 0, 10, 0], [0, 1, 2])],
];

test.each(meshes)(
  '%s: lists answer as the tree does, in and out of the block and its reach',
  (name, mesh) => {
    const tree = buildFacetTree(mesh);
    const slabs = buildBoundingSlabs(tree, uninterrupted);
    const next = shapes.random(seed);
    const cell = 0.4;
    const reach = 2;
    const found = closestPointScratch();
    const expected = closestPointScratch();
    let nearPoints = 0;
    for (let block = 0; block < 60; block++) {
      const nodesOnly = block % 2 === 1;
      const near = nearFacets(tree, 10, cell, reach, slabs, nodesOnly);
      const corner = [next(), next(), next()].map((value) => 24 * (value - 0.5) - 2);
      enterBlock(near, corner[0]!, corner[1]!, corner[2]!);
      for (let n = 0; n < 60; n++) {
        const [x, y, z] = corner.map((low) =>
          nodesOnly ? low + cell * Math.floor(10 * next()) : low + cell * (12 * next() - 1),
        ) as [number, number, number];
        const hint = n % 3 === 0 ? -1 : Math.floor((next() * mesh.triangles.length) / 3);
        const message = `seed ${seed}, block ${block}, point ${n} of ${name}`;
        closestPoint(tree, x, y, z, -1, expected);
        closestNear(near, x, y, z, hint, found);
        expect(Math.abs(found.squared - expected.squared), message).toBeLessThan(1e-9);
        const isNear = scanNear(near, near.large, x, y, z, hint, found);
        if (isNear) {
          nearPoints++;
          expect(Math.abs(found.squared - expected.squared), message).toBeLessThan(1e-9);
        } else if (nodesOnly) expect(expected.squared, message).toBeGreaterThan(reach * reach);
      }
    }
    expect(nearPoints).toBeGreaterThan(40);
  },
);
