import { expect, test } from 'vitest';
import { replaceFacets } from '../../../src/solid/replaceFacets.ts';
import * as shapes from '../../shapes.ts';

test('a vertex whose facets are all replaced by two patches stays, once', () => {
  // A pyramid over a square: its tip is vertex 4, each patch replaces two of the four sides by themselves.
  const pyramid = shapes.meshOf(
    [0, 0, 0, 2, 0, 0, 2, 2, 0, 0, 2, 0, 1, 1, 2],
    [0, 2, 1, 0, 3, 2, 0, 1, 4, 1, 2, 4, 2, 3, 4, 3, 0, 4],
  );
  const sides = (...facets: number[]) => {
    const triangles = Uint32Array.from(facets.flatMap((f) => [...pyramid.triangles.slice(3 * f, 3 * f + 3)]));
    return {
      facets: Uint32Array.from(facets),
      positions: pyramid.positions,
      triangles,
      vertexOf: Int32Array.from([0, 1, 2, 3, 4]),
    };
  };
  const replaced = replaceFacets(pyramid, [sides(2, 3), sides(4, 5)]);
  expect(replaced.positions).toEqual(pyramid.positions);
  expect(replaced.triangles).toEqual(pyramid.triangles);
});
