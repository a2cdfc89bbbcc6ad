import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { packSurface } from '../../src/core/surface/packSurface.ts';
import { vertexNormals } from '../../src/core/surface/vertexNormals.ts';
import { type CompletedLevel, openSurfaceAssembly } from '../../src/protocol/surfaceAssembly.ts';
import {
  cutIntoPieces,
  mostBytesPerPiece,
  type SurfacePiece,
  type SurfaceSet,
} from '../../src/protocol/surfacePiece.ts';
import { random, sphere, torus } from '../shapes.ts';

const packed = (mesh: ReturnType<typeof sphere>) => packSurface(mesh, vertexNormals(mesh), 0.25, 1);
// The finest one takes several pieces an array.
const levels = [packed(sphere(10, 16)), packed(torus(20, 5, 90, 60)), packed(sphere(40, 520))];
const set: SurfaceSet = { key: 'outside', refined: true, fullTriangles: 2_000_000, levels };

/** Compared as bytes: millions of elements one by one take minutes. */
const isSame = (a: PackedSurface | null, b: PackedSurface): boolean =>
  a !== null &&
  Buffer.from(a.vertices.buffer).equals(Buffer.from(b.vertices.buffer)) &&
  Buffer.from(a.triangles.buffer).equals(Buffer.from(b.triangles.buffer)) &&
  JSON.stringify({ ...a, vertices: 0, triangles: 0 }) === JSON.stringify({ ...b, vertices: 0, triangles: 0 });

const assembled = (pieces: readonly SurfacePiece[]): CompletedLevel[] => {
  const assembly = openSurfaceAssembly();
  return pieces.flatMap((piece) => assembly.add(piece) ?? []);
};

it('a set comes out of its pieces as it was, level by level, and no piece is large', () => {
  const pieces = cutIntoPieces(set);
  expect(pieces.length).toBeGreaterThan(2 * levels.length);
  for (const { data } of pieces) {
    expect(data!.values.byteLength).toBeLessThanOrEqual(mostBytesPerPiece);
    // A view on a whole array would take all of it to the other side.
    expect(data!.values.buffer.byteLength).toBe(data!.values.byteLength);
  }
  const back = assembled(structuredClone(pieces));
  expect(back.map(({ last }) => last)).toEqual([false, false, true]);
  expect(back.map(({ surface }, level) => isSame(surface, levels[level]!))).toEqual([true, true, true]);
  expect(assembled(cutIntoPieces({ ...set, levels: [] }))).toEqual([
    { key: 'outside', refined: true, fullTriangles: 2_000_000, surface: null, last: true },
  ]);
});

it('sets of several keys may come mixed, and one that begins anew takes the place of the first', () => {
  const other = cutIntoPieces({ ...set, key: 'hollow', levels: levels.slice(0, 1) });
  const pieces = cutIntoPieces(set);
  const mixed = [...pieces.slice(0, 2), other[0]!, ...pieces.slice(2, 3), ...pieces, other[1]!];
  const keys = assembled(mixed).map(({ key, last }) => `${key} ${last}`);
  expect(keys).toEqual(['outside false', 'outside false', 'outside false', 'outside true', 'hollow true']);
});

it('lost, doubled and exchanged pieces give no surface, or a right one', () => {
  const pieces = cutIntoPieces(set);
  for (let seed = 1; seed <= 90; seed++) {
    const next = random(seed);
    const spoilt = [...pieces];
    const at = Math.floor(next() * spoilt.length);
    const to = Math.floor(next() * spoilt.length);
    if (seed % 3 === 0) spoilt.splice(at, 1);
    else if (seed % 3 === 1) spoilt.splice(at, 0, spoilt[to]!);
    else [spoilt[at], spoilt[to]] = [spoilt[to]!, spoilt[at]!];
    for (const { surface } of assembled(spoilt)) {
      expect(
        levels.some((level) => isSame(surface, level)),
        `seed ${seed}`,
      ).toBe(true);
    }
  }
});

it('values of any kind in the place of a piece are dropped, and what comes after is read', () => {
  const good = cutIntoPieces({ ...set, levels: levels.slice(0, 1) });
  fc.assert(
    fc.property(fc.anything({ withTypedArray: true }), (junk) => {
      const assembly = openSurfaceAssembly();
      expect(assembly.add(junk as SurfacePiece)).toBeNull();
      expect(isSame(good.map((piece) => assembly.add(piece)).at(-1)!.surface, levels[0]!)).toBe(true);
    }),
    { numRuns: 300 },
  );
});

it('pieces with any one value wrong give no surface that is not sound', () => {
  const good = cutIntoPieces({ ...set, levels: levels.slice(0, 1) });
  const wrong = fc.oneof(
    fc.anything(),
    fc.integer(),
    fc.double(),
    fc.constantFrom(-1, 2 ** 40, Number.NaN, null, undefined, [], {}),
  );
  const place = fc.constantFrom(
    'key',
    'refined',
    'fullTriangles',
    'levels',
    'index',
    'count',
    'data',
    'data.level',
    'data.array',
    'data.at',
    'data.values',
    'levels.0.origin',
    'levels.0.step',
    'levels.0.errorMm',
    'levels.0.vertexCount',
    'levels.0.triangleCount',
  );
  fc.assert(
    fc.property(fc.nat(good.length - 1), place, wrong, (which, path, value) => {
      const pieces = structuredClone(good);
      const names = path.split('.');
      let target = pieces[which] as unknown as Record<string, unknown>;
      for (const name of names.slice(0, -1)) target = target[name] as Record<string, unknown>;
      target[names.at(-1)!] = value;
      for (const { surface } of assembled(pieces)) {
        if (surface === null) continue;
        expect(surface.vertices).toHaveLength(4 * surface.vertexCount);
        expect(surface.triangles).toHaveLength(3 * surface.triangleCount);
        expect(surface.triangles.every((vertex) => vertex < surface.vertexCount)).toBe(true);
        expect([...surface.origin, surface.step, surface.errorMm].every(Number.isFinite)).toBe(true);
      }
    }),
    { numRuns: 1500 },
  );
});

it('a piece that says it belongs elsewhere in its array spoils its level', () => {
  const pieces = cutIntoPieces({ ...set, levels: levels.slice(2) });
  const second = pieces.findIndex(({ data }) => data!.at > 0);
  expect(second).toBeGreaterThan(0);
  const data = { ...pieces[second]!.data!, at: 0 };
  expect(assembled(pieces.with(second, { ...pieces[second]!, data }))).toEqual([]);
});

it('an index that no vertex answers to, and a head that asks for all memory, are refused', () => {
  const good = cutIntoPieces({ ...set, levels: levels.slice(0, 1) });
  const broken = structuredClone(good);
  broken[1]!.data!.values[7] = levels[0]!.vertexCount;
  expect(assembled(broken)).toEqual([]);
  const head = { ...good[0]!.levels[0]!, vertexCount: 2 ** 31, triangleCount: 2 ** 31 };
  expect(assembled(good.map((piece) => ({ ...piece, levels: [head] })))).toEqual([]);
});
