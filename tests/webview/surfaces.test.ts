import { describe, expect, test } from 'vitest';
import { packSurface } from '../../src/core/surface/packSurface.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { vertexNormals } from '../../src/core/surface/vertexNormals.ts';
import { cross, normalized, type Vec3 } from '../../src/core/vector.ts';
import { cutIntoPieces } from '../../src/protocol/surfacePiece.ts';
import { boreWall } from '../../webview/turntable/boreWall.ts';
import { drawnText } from '../../webview/turntable/drawnText.ts';
import { levelAt } from '../../webview/turntable/levelAt.ts';
import { facetBlocks, nearbyFacets } from '../../webview/turntable/nearbyFacets.ts';
import { openSurfaceStore } from '../../webview/turntable/surfaceStore.ts';
import { icosphere, random, sphere, torus } from '../shapes.ts';
import { equatorVent } from './partViews.ts';

const packed = (mesh: ReturnType<typeof sphere>, error = 0) =>
  packSurface(mesh, vertexNormals(mesh), error, 1);

describe('facets near a line', () => {
  test('hold every facet that comes near it, in the order of the surface', () => {
    const surface = packed(torus(30, 9, 90, 60));
    const blocks = facetBlocks(surface);
    const whole = unpackSurface(surface);
    for (let seed = 1; seed <= 30; seed++) {
      const next = random(seed);
      const through: Vec3 = [60 * next() - 30, 60 * next() - 30, 20 * next() - 10];
      const direction = normalized([next() - 0.5, next() - 0.5, next() - 0.5]);
      const near = nearbyFacets(surface, blocks, through, direction, 3);
      const found = new Set(facetTexts(near.positions, near.triangles));
      const missed = facetTexts(whole.positions, whole.triangles).filter((text, facet) => {
        const corners = [0, 1, 2].map((i) => cornerOf(whole.positions, whole.triangles[3 * facet + i]!));
        return corners.some((corner) => distance(corner, through, direction) < 3) && !found.has(text);
      });
      expect(missed, `seed ${seed}`).toEqual([]);
    }
    expect(nearbyFacets(surface, blocks, [0, 0, 200], [1, 0, 0], 3).triangles).toHaveLength(0);
  });

  test('give a bore the wall that the whole surface gives it', () => {
    const [outer, cavity] = [packed(icosphere(30, 5)), packed(icosphere(28, 5))];
    const opening = { ...equatorVent, mouth: [0, 0, -30] as Vec3, axis: [0, 0, 1] as Vec3 };
    const near = [outer, cavity].map((surface) =>
      nearbyFacets(surface, facetBlocks(surface), opening.mouth, opening.axis, opening.radius),
    );
    expect(near[0]!.triangles.length).toBeLessThan(outer.triangles.length / 4);
    const whole = boreWall(unpackSurface(outer), unpackSurface(cavity), opening);
    const part = boreWall(near[0]!, near[1]!, opening);
    expect(part.positions).toHaveLength(whole.positions.length);
    part.positions.forEach((value, i) => {
      expect(Math.abs(value - whole.positions[i]!)).toBeLessThan(1e-4);
    });
  });
});

const cornerOf = (positions: Float32Array, vertex: number): Vec3 => [
  positions[3 * vertex]!,
  positions[3 * vertex + 1]!,
  positions[3 * vertex + 2]!,
];

const facetTexts = (positions: Float32Array, triangles: Uint32Array): string[] =>
  Array.from({ length: triangles.length / 3 }, (_, facet) =>
    [0, 1, 2].map((i) => cornerOf(positions, triangles[3 * facet + i]!).join()).join(';'),
  );

function distance(point: Vec3, through: Vec3, direction: Vec3): number {
  const from: Vec3 = [point[0] - through[0], point[1] - through[1], point[2] - through[2]];
  return Math.hypot(...cross(from, direction));
}

describe('the store of surfaces', () => {
  const [coarse, middle, fine] = [packed(sphere(9, 8)), packed(sphere(9, 24), 0.1), packed(sphere(9, 60))];
  const first = cutIntoPieces({
    key: 'a',
    refined: false,
    fullTriangles: 9e6,
    levels: [coarse!, middle!],
  });
  const refined = cutIntoPieces({ key: 'a', refined: true, fullTriangles: 9e6, levels: [middle!, fine!] });
  const countsOf = (store: ReturnType<typeof openSurfaceStore>) =>
    store.get('a')?.levels.map(({ triangleCount }) => triangleCount);
  const counts = [coarse!, middle!, fine!].map(({ triangleCount }) => triangleCount);

  test('shows a first picture level by level, until the refined levels are all there', () => {
    const store = openSurfaceStore();
    const seen = [...first, ...refined].map((piece) => (store.add(piece) ? countsOf(store) : null));
    expect(seen).toEqual([
      null,
      [counts[0]],
      null,
      [counts[0], counts[1]],
      null,
      null,
      null,
      [counts[1], counts[2]],
    ]);
    expect(store.get('a')!.refined).toBe(true);
    // What comes late is no step back.
    expect(first.some((piece) => store.add(piece))).toBe(false);
  });

  test('shows refined levels one by one where there is nothing else', () => {
    const store = openSurfaceStore();
    expect(refined.map((piece) => (store.add(piece) ? countsOf(store) : null))).toEqual([
      null,
      [counts[1]],
      null,
      [counts[1], counts[2]],
    ]);
    // Sent anew, after the page came back.
    for (const piece of refined) store.add(piece);
    expect(countsOf(store)).toEqual([counts[1], counts[2]]);
  });

  test('knows a surface with nothing in it from one that has not come', () => {
    const store = openSurfaceStore();
    for (const piece of cutIntoPieces({ key: 'a', refined: true, fullTriangles: 0, levels: [] }))
      store.add(piece);
    expect(store.get('a')!.levels).toEqual([]);
    expect(store.get('b')).toBeNull();
    expect(store.get(null)).toBeNull();
    store.keepOnly(['b']);
    expect(store.get('a')).toBeNull();
  });

  test('says in words what is drawn', () => {
    const store = openSurfaceStore();
    expect(drawnText(null, null, 0)).toBe('');
    for (const piece of first) store.add(piece);
    expect(drawnText(store.get('a'), null, 0)).toBe(
      `First picture: ${counts[1]!.toLocaleString('en')} of 9,000,000 triangles. A finer one follows.`,
    );
    for (const piece of refined) store.add(piece);
    expect(drawnText(store.get('a'), null, 1)).toBe(
      `Drawn with ${counts[1]!.toLocaleString('en')} of 9,000,000 triangles, up to 0.10 mm off`,
    );
    const whole = { levels: [fine!], refined: true, fullTriangles: fine!.triangleCount };
    expect(drawnText(whole, null, 0)).toBe('');
  });

  test('levels are asked for from the finest on', () => {
    expect([0, 1, 2, 7].map((detail) => levelAt(['coarse', 'middle', 'fine'], detail))).toEqual([
      'fine',
      'middle',
      'coarse',
      'coarse',
    ]);
    expect(levelAt([], 0)).toBeUndefined();
  });
});
