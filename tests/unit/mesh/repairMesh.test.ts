import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { repairMesh } from '../../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import {
  box,
  cylinder,
  hollowSphere,
  icosphere,
  join,
  meshOf,
  polygonArea,
  random,
  reversed,
  torus,
  toSoup,
  transformed,
  tube,
  volumeOf,
} from '../../shapes.ts';

const repair = (mesh: Mesh) => repairMesh(mesh, uninterrupted);
const report = (mesh: Mesh) => reportTopology(mesh, uninterrupted);
const welded = (...meshes: Mesh[]) => weld(toSoup(join(...meshes)), uninterrupted).mesh;
const without = (mesh: Mesh, drop: (facet: number) => boolean): Mesh => ({
  positions: mesh.positions,
  triangles: mesh.triangles.filter((_, h) => !drop(Math.floor(h / 3))),
});

function expectSound(mesh: Mesh, volume: number, tolerance = 1e-6) {
  const result = repair(mesh);
  expect(result.sound).toBe(true);
  expect(report(result.mesh)).toMatchObject({ watertight: true, duplicates: 0 });
  expect(Math.abs(volumeOf(result.mesh) / volume - 1)).toBeLessThan(tolerance);
  return result;
}

describe('a clean mesh comes back as the same object', () => {
  it.each([
    ['torus', torus(10, 3)],
    ['hollow sphere', hollowSphere(10, 1)],
    ['tube', tube(5, 4, 9)],
    ['two bodies apart', join(box(1), transformed(box(1), { shift: [3, 0, 0] }))],
  ])('%s', (_name, mesh) => {
    expect(repair(mesh)).toEqual({ mesh, repaired: [], sound: true, insideOut: false });
    expect(repair(mesh).mesh).toBe(mesh);
  });
});

describe('orientation', () => {
  it('turns the minority of each shell', () => {
    const next = random(21);
    const mesh = torus(10, 3);
    const triangles = mesh.triangles.slice();
    let flipped = 0;
    for (let f = 0; f < triangles.length; f += 3) {
      if (next() > 0.3) continue;
      triangles.set([mesh.triangles[f + 1]!, mesh.triangles[f]!], f);
      flipped++;
    }
    const { repaired } = expectSound({ positions: mesh.positions, triangles }, volumeOf(mesh), 1e-12);
    expect(repaired).toEqual([`${flipped} triangles turned round to agree with their neighbours`]);
  });

  it('turns a whole mesh outward and keeps its void', () => {
    const mesh = hollowSphere(10, 2);
    const { insideOut, repaired } = expectSound(reversed(mesh), volumeOf(mesh), 1e-9);
    expect(insideOut).toBe(true);
    expect(repaired).toHaveLength(1);
  });
});

describe('holes', () => {
  it('fills single facets and wide flat openings', () => {
    const sphere = icosphere(10, 4);
    expectSound(
      without(sphere, (f) => f % 50 === 0),
      volumeOf(sphere),
      1e-12,
    );
    expectSound(
      without(box(5), (f) => f < 2),
      125,
      1e-12,
    );
    // A cylinder without its floor: one planar rim, above and below the length that is filled exactly.
    for (const n of [12, 90, 400]) {
      const open = without(cylinder(10, 4, n), (f) => f < n);
      expectSound(open, polygonArea(10, n) * 4);
    }
  });

  it('fills a ring-shaped pair of rims and a concave one', () => {
    const pipe = tube(10, 6, 5, 30);
    const { repaired } = repair(without(pipe, (f) => f < 60));
    expect(repaired[0]).toMatch(/^2 holes filled/);
    // A star-shaped prism with 6 or 80 points, its floor missing.
    for (const points of [6, 80]) {
      const star = starPrism(points, 10, 6, 5);
      expectSound(star.open, star.volume);
    }
  });

  it('fills a large hole in a curved surface closely', () => {
    const sphere = icosphere(10, 5);
    const hole = without(sphere, (f) => sphere.positions[3 * sphere.triangles[3 * f]! + 2]! > 9.6);
    // The cap cut off: πh²(3r − h)/3 with h = 0.4.
    expectSound(hole, volumeOf(sphere) - (Math.PI * 0.16 * 29.6) / 3, 1e-3);
  });

  it('fills holes that meet in a corner one by one', () => {
    const sphere = icosphere(10, 2);
    const at = sphere.triangles[0]!;
    const around: number[] = [];
    for (let f = 0; f < sphere.triangles.length / 3; f++) {
      if (sphere.triangles.subarray(3 * f, 3 * f + 3).includes(at)) around.push(f);
    }
    // Of the fan of five take two that are not neighbours.
    const first = around[0]!;
    const corners = (f: number) => [...sphere.triangles.subarray(3 * f, 3 * f + 3)];
    const second = around.find((f) => corners(f).filter((v) => corners(first).includes(v)).length === 1)!;
    const { repaired, mesh } = expectSound(
      without(sphere, (f) => f === first || f === second),
      volumeOf(sphere),
      1e-12,
    );
    expect(repaired).toEqual(['2 holes filled (2 new triangles)']);
    expect(mesh.positions.length).toBe(sphere.positions.length);
  });

  it('does not repeat an edge that is there already', () => {
    // Two facets of a tetrahedron; the rim's one diagonal is the edge they share.
    const half = meshOf([0, 0, 0, 1, 0, 0, 0.5, 0.9, 0, 0.5, 0.3, 0.8], [0, 1, 3, 1, 2, 3]);
    const { mesh, sound } = repair(half);
    expect(sound).toBe(true);
    expect(report(mesh)).toMatchObject({ watertight: true, triangles: 4, shells: 1 });
    expect(volumeOf(mesh)).toBeCloseTo((0.9 * 0.8) / 6, 6);
  });

  it('closes seams where corners met the middle of an edge, several to an edge and a facet', () => {
    const split = splitEdges(transformed(box(10), { turn: [13, 27, 41] }), 5);
    expect(report(split).openEdges).toBeGreaterThan(0);
    const { repaired, mesh } = expectSound(split, 1000, 1e-5);
    expect(repaired).toHaveLength(1);
    expect(repaired[0]).toMatch(/seams? closed/);
    expect(report(mesh).degenerate).toBe(0);
  });
});

describe('surfaces that touch', () => {
  it('parts two cubes at a shared edge and at a shared corner', () => {
    const edge = expectSound(welded(box(2), transformed(box(2), { shift: [2, 2, 0] })), 16);
    expect(report(edge.mesh)).toMatchObject({ shells: 2, vertices: 16, nonmanifoldEdges: 0 });
    const corner = expectSound(welded(box(2), transformed(box(2), { shift: [2, 2, 2] })), 16);
    expect(report(corner.mesh)).toMatchObject({ shells: 2, vertices: 16 });
  });

  it('takes the shared face out from between two boxes', () => {
    const { mesh } = expectSound(
      welded(box(2), transformed(reversed(box(2)), { scale: [-1, 1, 1], shift: [2, 0, 0] })),
      16,
    );
    expect(report(mesh)).toMatchObject({ shells: 1, triangles: 20 });
  });

  it('drops repeats, the copy and the mirror of a whole body', () => {
    expectSound(welded(torus(5, 1), torus(5, 1)), volumeOf(torus(5, 1)), 1e-12);
    const cube = box(2);
    const flap = meshOf(cube.positions, [
      ...cube.triangles,
      ...cube.triangles.subarray(0, 3),
      0,
      6,
      4,
      1,
      1,
      2,
    ]);
    const { repaired } = expectSound(flap, 8);
    expect(repaired[0]).toBe('1 triangle without area dropped');
    expect(repaired[1]).toMatch(/repeated triangles? dropped/);
  });
});

it('splits an edge along which a body touches itself', () => {
  // Two columns side by side corner to corner, joined by a bridge above and below the middle layer.
  const cells = [0, 1, 2].flatMap((z) => [[0, 0, z], [1, 1, z], ...(z === 1 ? [] : [[1, 0, z]])]);
  const { repaired, mesh } = expectSound(voxels(cells), 8, 1e-9);
  expect(repaired).toEqual(['1 edge split where a surface touches itself']);
  expect(report(mesh).shells).toBe(1);
});

describe('what cannot be mended', () => {
  it('loose triangles stay open', () => {
    const soup = meshOf([0, 0, 0, 1, 0, 0, 0, 1, 0, 5, 5, 5, 6, 5, 5, 5, 6, 5], [0, 1, 2, 3, 4, 5]);
    expect(repair(soup)).toMatchObject({ sound: false, repaired: [] });
    expect(repair(meshOf([], []))).toMatchObject({ sound: false, repaired: [] });
  });

  it('never throws and always ends on random facets', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const next = random(seed);
      const vertices = 4 + Math.floor(next() * 30);
      const facets = 1 + Math.floor(next() * 120);
      const mesh = meshOf(
        Array.from({ length: 3 * vertices }, () => Math.floor(next() * 5)),
        Array.from({ length: 3 * facets }, () => Math.floor(next() * vertices)),
      );
      const result = repair(mesh);
      const after = report(result.mesh);
      expect(result.sound, `seed ${seed}`).toBe(after.watertight && after.triangles > 0);
    }
  });
});

/** Surface of unit cells, faces between two cells left out, corners welded. */
function voxels(cells: number[][]): Mesh {
  const filled = new Set(cells.map(String));
  const cube = box(1);
  const faces = cells.map(([x, y, z]) =>
    without(transformed(cube, { shift: [x! + 0.5, y! + 0.5, z! + 0.5] }), (facet) => {
      // Facets of the box come in pairs: −x, +x, −y, +y, −z, +z.
      const face = Math.floor(facet / 2);
      const beside = [x!, y!, z!];
      beside[Math.floor(face / 2)]! += face % 2 === 0 ? -1 : 1;
      return filled.has(String(beside));
    }),
  );
  return welded(...faces);
}

/** A prism over a star, floor missing, and its volume. */
function starPrism(points: number, outer: number, inner: number, height: number) {
  const n = 2 * points;
  const positions: number[] = [];
  for (const z of [0, height]) {
    for (let i = 0; i < n; i++) {
      const r = i % 2 === 0 ? outer : inner;
      positions.push(r * Math.cos((2 * Math.PI * i) / n), r * Math.sin((2 * Math.PI * i) / n), z);
    }
  }
  positions.push(0, 0, height);
  const triangles: number[] = [];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    triangles.push(i, j, n + j, i, n + j, n + i, n + i, n + j, 2 * n);
  }
  const area = (n / 2) * outer * inner * Math.sin((2 * Math.PI) / n);
  return { open: meshOf(positions, triangles), volume: area * height };
}

/** Cuts the first facets' edges at points their neighbours do not have. */
function splitEdges(mesh: Mesh, pieces: number): Mesh {
  const positions = [...mesh.positions];
  const triangles: number[] = [];
  for (let f = 0; f < mesh.triangles.length; f += 3) {
    const [a, b, c] = mesh.triangles.subarray(f, f + 3) as unknown as [number, number, number];
    // Every third facet gets a fan over its first edge.
    const parts = f % 9 === 0 ? pieces : 1;
    let from = a;
    for (let i = 1; i <= parts; i++) {
      let to = b;
      if (i < parts) {
        to = positions.length / 3;
        for (let axis = 0; axis < 3; axis++) {
          positions.push(
            Math.fround(
              positions[3 * a + axis]! + (positions[3 * b + axis]! - positions[3 * a + axis]!) * (i / parts),
            ),
          );
        }
      }
      triangles.push(from, to, c);
      from = to;
    }
  }
  return meshOf(positions, triangles);
}
