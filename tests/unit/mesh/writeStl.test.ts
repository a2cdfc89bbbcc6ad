import { describe, expect, test } from 'vitest';
import { binaryStlPieces, writeBinaryStl } from '../../../src/core/mesh/writeStl.ts';
import * as shapes from '../../shapes.ts';

const holding = (mesh: ReturnType<typeof shapes.box>): Buffer =>
  Buffer.concat(Array.from(binaryStlPieces(mesh), (piece) => Buffer.from(piece)));

describe('binaryStlPieces', () => {
  test.each([
    ['nothing', shapes.meshOf([], [])],
    ['one facet', shapes.meshOf([0, 0, 0, 1, 2, 3, -4, 5, 6], [0, 1, 2])],
    ['a ball of one piece and a part', shapes.icosphere(7, 6)],
    [
      'facets without area in the place of others',
      shapes.meshOf(
        [...shapes.icosphere(7, 6).positions, 1, 2, 3],
        [...shapes.icosphere(7, 6).triangles, ...new Array(3 * 70000).fill(40962)],
      ),
    ],
  ])('%s: the bytes of the whole', (_, mesh) => {
    const pieces = holding(mesh);
    expect(pieces.length).toBe(84 + (50 * mesh.triangles.length) / 3);
    expect(pieces.equals(Buffer.from(writeBinaryStl(mesh)))).toBe(true);
  });
});
