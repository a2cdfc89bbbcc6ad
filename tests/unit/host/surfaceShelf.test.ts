import { expect, it } from 'vitest';
import { openSurfaceShelf } from '../../../src/host/surfaceShelf.ts';
import type { SurfacePiece } from '../../../src/protocol/surfacePiece.ts';

const piece = (key: string, refined: boolean, index: number, count: number): SurfacePiece => ({
  key,
  refined,
  fullTriangles: 12,
  levels: [],
  index,
  count,
  data: null,
});

it('keeps a first picture until the refined surface is whole, and names only what is whole', () => {
  const shelf = openSurfaceShelf();
  const first = [piece('a', false, 0, 2), piece('a', false, 1, 2)];
  const refined = [piece('a', true, 0, 2), piece('a', true, 1, 2)];
  for (const one of [...first, refined[0]!]) shelf.add(one);
  expect(shelf.pieces()).toEqual([...first, refined[0]]);
  expect(shelf.whole()).toEqual([]);
  shelf.add(refined[1]!);
  expect(shelf.pieces()).toEqual(refined);
  expect(shelf.whole()).toEqual(['a']);
});

it('begins a set anew at its first piece and takes none out of turn', () => {
  const shelf = openSurfaceShelf();
  shelf.add(piece('a', true, 0, 3));
  shelf.add(piece('a', true, 2, 3));
  expect(shelf.pieces()).toHaveLength(1);
  shelf.add(piece('a', true, 0, 1));
  expect(shelf.whole()).toEqual(['a']);
});

it('drops the surfaces of other keys, and tells whether there were any', () => {
  const shelf = openSurfaceShelf();
  for (const key of ['a', 'b', 'c']) shelf.add(piece(key, true, 0, 1));
  expect(shelf.keepOnly(['b'])).toBe(true);
  expect(shelf.whole()).toEqual(['b']);
  expect(shelf.keepOnly(['b', 'd'])).toBe(false);
});
