import { expect, it } from 'vitest';
import { decodeNormal, encodeNormal } from '../../../src/core/surface/octahedralNormal.ts';
import { packSurface } from '../../../src/core/surface/packSurface.ts';
import { unpackSurface } from '../../../src/core/surface/unpackSurface.ts';
import { vertexNormals } from '../../../src/core/surface/vertexNormals.ts';
import { dot, norm, type Vec3 } from '../../../src/core/vector.ts';
import { box, random, sphere, torus, transformed } from '../../shapes.ts';

const degrees = (cosine: number): number => (180 / Math.PI) * Math.acos(Math.min(1, cosine));

it('keeps every direction within a degree: seeded ones and those on the folds', () => {
  const next = random(7);
  const fold = [-1, 0, 1].flatMap((x) => [-1, 0, 1].flatMap((y) => [-1, 0, 1].map((z): Vec3 => [x, y, z])));
  const seeded = Array.from({ length: 20_000 }, (): Vec3 => [next() - 0.5, next() - 0.5, next() - 0.5]);
  for (const v of [...fold, ...seeded].filter((direction) => norm(direction) > 0)) {
    const code = encodeNormal(...v);
    expect(Number.isInteger(code) && code >= 0 && code <= 65535, `${v}`).toBe(true);
    const back = decodeNormal(code);
    expect(norm(back)).toBeCloseTo(1, 12);
    expect(degrees(dot(v, back) / norm(v)), `${v}`).toBeLessThan(1);
  }
  expect(decodeNormal(encodeNormal(0, 0, 0))).toEqual([0, 0, 1]);
});

it.each([
  ['sphere', sphere(70, 96)],
  ['torus far from the origin', transformed(torus(60, 20), { turn: [10, 20, 30], shift: [900, -40, 3] })],
  ['flat box', box([190, 140, 0.3])],
])('rounds a %s by half a step along each axis at most, a step being the extent / 65535', (_name, mesh) => {
  const scale = 3.4;
  const packed = packSurface(mesh, vertexNormals(mesh), 0.5, scale);
  const { positions, triangles } = unpackSurface(packed);
  const extents = [0, 1, 2].map((axis) => {
    const along = mesh.positions.filter((_, i) => i % 3 === axis);
    return Math.max(...along) - Math.min(...along);
  });
  expect(packed.step).toBeCloseTo((scale * Math.max(...extents)) / 65535, 9);
  expect(packed.errorMm).toBeCloseTo(0.5 * scale, 12);
  expect(triangles).toBe(mesh.triangles);
  // The positions themselves are float32: half a unit in the last place of 900 mm is 3e-5 mm.
  const ulp = 2 ** -23 * scale * Math.max(...mesh.positions.map(Math.abs));
  positions.forEach((value, i) => {
    expect(Math.abs(value - scale * mesh.positions[i]!)).toBeLessThanOrEqual(packed.step / 2 + ulp);
  });
});

it('packs an empty mesh and one that is a point', () => {
  const empty = packSurface(
    { positions: new Float32Array(0), triangles: new Uint32Array(0) },
    new Float32Array(0),
    0,
    1,
  );
  expect(empty.vertexCount).toBe(0);
  const point = { positions: Float32Array.of(5, 6, 7), triangles: new Uint32Array(0) };
  expect([...unpackSurface(packSurface(point, new Float32Array(3), 0, 1)).positions]).toEqual([5, 6, 7]);
});
