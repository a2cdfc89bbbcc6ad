import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { CutDecision } from '../../../src/core/cut/cutDecision.ts';
import { plugShape, socketShape } from '../../../src/core/cut/keyShape.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { closestOnSurface } from '../../../src/core/openings/closestOnSurface.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { cross, dot, norm, normalized, scale, subtract, type Vec3 } from '../../../src/core/vector.ts';
import type { CutMesh } from '../../../src/pipeline/cutMesh.ts';
import {
  box,
  cylinder,
  hollowSphere,
  icosphere,
  join,
  meshOf,
  polygonArea,
  sphere,
  torus,
  transformed,
  turned,
  volumeOf,
} from '../../shapes.ts';
import { frustumVolume } from './frustumVolume.ts';
import { cutOf, halved, preparedOf } from './halved.ts';

/** Vertices of a mesh as points. */
const points = ({ positions }: Mesh): Vec3[] =>
  Array.from({ length: positions.length / 3 }, (_, v) => [
    positions[3 * v]!,
    positions[3 * v + 1]!,
    positions[3 * v + 2]!,
  ]);

/** Area of the facets that lie in the plane of a cut, each counted by how it faces it: front 1, back −1. */
function seamArea({ positions, triangles }: Mesh, { at, toward }: CutDecision, tolerance: number): number {
  const normal = normalized(toward);
  const corner = (n: number): Vec3 => {
    const p = 3 * triangles[n]!;
    return [positions[p]!, positions[p + 1]!, positions[p + 2]!];
  };
  let sum = 0;
  for (let n = 0; n < triangles.length; n += 3) {
    const [a, b, c] = [corner(n), corner(n + 1), corner(n + 2)];
    if ([a, b, c].some((p) => Math.abs(dot(subtract(p, at), normal)) > tolerance)) continue;
    sum += dot(cross(subtract(b, a), subtract(c, a)), normal) / 2;
  }
  return sum;
}

/** What holds of any two halves without keys. Returns the volumes. */
function expectHalves({ back, front }: CutMesh, whole: Mesh, cut: CutDecision): readonly [number, number] {
  const size = Math.cbrt(volumeOf(whole));
  for (const half of [back, front]) {
    expect(half.sound).toBe(true);
    expect(half.topology).toMatchObject({ watertight: true, openEdges: 0, nonmanifoldEdges: 0 });
    expect(half.clean).toBe(half.mended);
  }
  const normal = normalized(cut.toward);
  const along = (half: { clean: Mesh }) => points(half.clean).map((p) => dot(subtract(p, cut.at), normal));
  expect(Math.max(...along(back))).toBeLessThan(1e-5 * size);
  expect(Math.min(...along(front))).toBeGreaterThan(-1e-5 * size);
  const [b, f] = [volumeOf(back.clean), volumeOf(front.clean)];
  expect(Math.abs(b + f - volumeOf(whole))).toBeLessThan(2e-6 * volumeOf(whole));
  // The seam's faces are one and the same, seen from both sides, and as large as the section is told to be.
  const [seen, facing] = [back, front].map((half) => seamArea(half.clean, cut, 1e-4 * size)) as [
    number,
    number,
  ];
  expect(Math.abs(seen + facing)).toBeLessThan(1e-4 * Math.abs(seen));
  expect(back.seams[0]!.areaMm2 / seen).toBeCloseTo(1, 3);
  return [b, f];
}

describe('halves without keys', () => {
  test('a block: square across, askew, through corners and along diagonals', async () => {
    const block = box([20, 10, 8]);
    const volumes = async (cut: CutDecision) => expectHalves(await halved(block, cut), block, cut);
    expect(await volumes(cutOf({ at: [0, 0, 1] }))).toEqual([20 * 10 * 5, 20 * 10 * 3]);
    expect((await volumes(cutOf({ at: [4, 0, 0], toward: [-7, 0, 0] })))[0]).toBeCloseTo(480, 6);
    // Through four corners, and through one corner and two edges.
    expect((await volumes(cutOf({ toward: [1, 2, 0] })))[0]).toBeCloseTo(800, 4);
    expect((await volumes(cutOf({ at: [10, 5, 4], toward: [1, 1, -3] }))).every((v) => v > 0)).toBe(true);
    expect((await volumes(cutOf({ toward: [1e-30, 3e-30, -2e-30] })))[0]).toBeCloseTo(800, 3);
  });

  test('a corner of a cube: the tetrahedron of the closed form', async () => {
    const cut = cutOf({ at: [5, 5, 2], toward: [1, 1, 1] });
    const [, corner] = expectHalves(await halved(box(10), cut), box(10), cut);
    expect(corner).toBeCloseTo(3 ** 3 / 6, 5);
  });

  test('a ball: the cap of the closed form', async () => {
    const ball = icosphere(20, 5);
    for (const height of [-12, 0, 5, 19]) {
      const cut = cutOf({ at: scale(normalized([2, -1, 3]), height), toward: [2, -1, 3] });
      const [, cap] = expectHalves(await halved(ball, cut), ball, cut);
      const h = 20 - height;
      const share = (Math.PI * h * h * (60 - h)) / 3 / ((4 / 3) * Math.PI * 8000);
      expect(cap / volumeOf(ball)).toBeCloseTo(share, 3);
    }
  });

  test('a rod along its axis, and rings that the plane opens, splits in two and touches in one point', async () => {
    const rod = cylinder(6, 40);
    const along = cutOf({ at: [0, 0, 20], toward: [1, 0, 0] });
    expect(expectHalves(await halved(rod, along), rod, along)[0]).toBeCloseTo(polygonArea(6, 64) * 20, 2);
    const ring = torus(20, 5);
    for (const cut of [cutOf(), cutOf({ toward: [1, 0, 0] }), cutOf({ toward: [1, 0.3, 0.1] })])
      expectHalves(await halved(ring, cut), ring, cut);
    // Inside the ring the surface has a saddle: the back half meets itself in a point.
    const touching = cutOf({ at: [15, 0, 0], toward: [1, 0, 0] });
    const { back, front } = await halved(ring, touching);
    expect([back.sound, front.sound]).toEqual([true, true]);
    expect(volumeOf(back.clean) + volumeOf(front.clean)).toBeCloseTo(volumeOf(ring), 1);
  });

  test('voids and several pieces: each half has what lies on its side', async () => {
    const shell = hollowSphere(20, 3);
    const cut = cutOf({ toward: [0.2, 0.1, 1] });
    const { back } = await halved(shell, cut);
    expectHalves(await halved(shell, cut), shell, cut);
    expect(back.shells).toHaveLength(1);
    const two = join(box(10), transformed(box(10), { shift: [30, 0, 4] }));
    const level = cutOf();
    const halves = await halved(two, level);
    expect(expectHalves(halves, two, level)).toEqual([600, 1400]);
    expect(halves.front.shells).toHaveLength(2);
  });

  test('faces in the plane go to the cap: a step is cut off at its foot', async () => {
    // 20 × 20 × 10 with a 10 × 20 × 5 step on it, as one surface.
    const profile: [number, number][] = [
      [0, 0],
      [20, 0],
      [20, 10],
      [10, 10],
      [10, 15],
      [0, 15],
    ];
    const step = prism(profile, 20);
    expect(volumeOf(step)).toBeCloseTo(5000, 9);
    const cut = cutOf({ at: [0, 0, 10] });
    const { back, front } = await halved(step, cut);
    expect([volumeOf(back.clean), volumeOf(front.clean)]).toEqual([4000, 1000]);
    expect([back.sound, front.sound]).toEqual([true, true]);
    expect(back.topology.bounds.max[2]).toBe(10);
  });

  test('a turned face whose corners lie a rounding off the plane is in it all the same', async () => {
    for (const turn of [
      [20, 35, 50],
      [-71, 8, 133],
      [1, 2, 3],
    ] as Vec3[]) {
      const shift: Vec3 = [60, -40, 25];
      const block = transformed(box(20), { turn, shift });
      const face = turned([0, 0, 10], turn).map((c, axis) => c + shift[axis]!) as unknown as Vec3;
      const { back } = await halved(block, cutOf({ at: face, toward: turned([0, 0, 1], turn) }));
      expect(back.seams[0]!.misses, turn.join()).toBe(true);
    }
  });

  test('a plane that misses, or lies in a face, cuts nothing and says so', async () => {
    for (const at of [
      [0, 0, 11],
      [0, 0, -10],
      [0, 0, 10],
    ] as Vec3[]) {
      const { back, front } = await halved(box(20), cutOf({ at, keys: { count: 2 } }));
      for (const half of [back, front]) {
        expect(half.seams).toEqual([{ misses: true, areaMm2: 0, keys: [], refused: [] }]);
        expect(volumeOf(half.clean)).toBe(8000);
      }
    }
  });

  test('what can be mended is cut as mended; what cannot stays whole and is told as before', async () => {
    const closed = box(20);
    const holed = { ...closed, triangles: closed.triangles.subarray(0, 3 * 11) };
    const { back } = await halved(holed, cutOf());
    expect([back.sound, back.repaired, volumeOf(back.clean)]).toEqual([true, ['1 hole filled'], 4000]);
    // Two facets that meet in nothing but a corner.
    const loose = meshOf([0, 0, -9, 4, 0, -9, 0, 4, 9, -4, 0, 9, 0, -4, 9], [0, 1, 2, 0, 3, 4]);
    const unsound = await preparedOf(loose);
    expect(unsound.sound).toBe(false);
    expect(await halved(loose, cutOf())).toEqual({ back: unsound, front: unsound });
  });

  test('any plane through any of some solids (seeds printed by fast-check)', async () => {
    const solids = [
      box([30, 20, 10]),
      icosphere(15, 3),
      torus(15, 6, 24, 12),
      sphere(14, 24),
      join(box(12), transformed(icosphere(8, 2), { shift: [3, 2, 14.5] })),
    ];
    const unit = fc.double({ min: -1, max: 1, noNaN: true });
    const vector = fc.tuple(unit, unit, unit).filter((v) => norm(v) > 1e-3);
    // Small whole numbers bring planes through corners and along edges.
    const whole = fc.tuple(...[0, 1, 2].map(() => fc.integer({ min: -2, max: 2 }))) as typeof vector;
    await fc.assert(
      fc.asyncProperty(
        fc.nat(solids.length - 1),
        fc.oneof(
          vector,
          whole.filter((v) => norm(v) > 0),
        ),
        fc.oneof(vector, whole),
        fc.tuple(...[0, 1, 2].map(() => fc.integer({ min: -180, max: 180 }))),
        async (which, toward, at, turn) => {
          const solid = transformed(solids[which]!, { turn: turn as unknown as Vec3 });
          const cut = cutOf({
            at: turned(scale(at, 6), turn as unknown as Vec3),
            toward: turned(toward, turn as unknown as Vec3),
          });
          const { back, front } = await halved(solid, cut);
          if (back.seams[0]!.misses) return;
          const [b, f] = [volumeOf(back.clean), volumeOf(front.clean)];
          expect([back.sound, front.sound]).toEqual([true, true]);
          expect(Math.abs(b + f - volumeOf(solid))).toBeLessThan(1e-5 * volumeOf(solid));
        },
      ),
      { numRuns: 60, seed: 20261127 },
    );
  }, 60_000);
});

describe('keys', () => {
  const cut = cutOf({ keys: { count: 2 } });
  const plug = frustumVolume(plugShape(cut.key, 6));
  const socket = frustumVolume(socketShape(plugShape(cut.key, 6), 0.15));

  test('the volume of a prism that leans in, by the closed form of its ends', () => {
    const straight = plugShape({ ...cut.key, taper: 0 }, 6);
    expect(frustumVolume(straight)).toBeCloseTo(polygonArea(3, 48) * 8, 9);
    const end = 3 - 8 * Math.tan((2 * Math.PI) / 180);
    const [a, b] = [polygonArea(3, 48), polygonArea(end, 48)];
    expect(plug).toBeCloseTo((8 / 3) * (a + Math.sqrt(a * b) + b), 9);
    expect(socket).toBeGreaterThan(plug);
    // However it tapers, something is left of its end.
    expect(plugShape({ ...cut.key, length: 50, taper: 30 }, 6).endRadius).toBe(0.75);
  });

  test('back and front are the whole with the plugs and without the sockets, at any factor', async () => {
    for (const factor of [1, 3.4, 0.25]) {
      const block = transformed(box([60, 30, 40]), { scale: 1 / factor });
      const { back, front } = await halved(block, cut, factor);
      const { keys, refused } = back.seams[0]!;
      expect(front.seams).toEqual(back.seams);
      expect([keys.length, refused]).toEqual([2, []]);
      const volume = (half: { clean: Mesh }) => volumeOf(half.clean) * factor ** 3;
      expect(volume(back)).toBeCloseTo(36_000 + 2 * plug, 1);
      expect(volume(front)).toBeCloseTo(36_000 - 2 * socket, 1);
      for (const half of [back, front]) {
        expect(half.sound).toBe(true);
        expect(half.topology).toMatchObject({ watertight: true, degenerate: 0, shells: 1 });
      }
    }
  });

  test('a plug is inside its socket with the clearance all round, and no wider gap', async () => {
    const at: Vec3 = [3, -2, 5];
    const toward: Vec3 = [1, 2, -2];
    // Leaning much, so that a gap that is right square to the axis only would show.
    const key = { ...cut.key, taper: 15 };
    const { back, front } = await halved(icosphere(30, 4), cutOf({ at, toward, key, keys: { count: 3 } }));
    const normal = normalized(toward);
    const over = (p: Vec3) => dot(subtract(p, at), normal);
    const surface = buildSurfaceIndex(front.clean);
    const standing = points(back.clean).filter((p) => over(p) > 1e-3);
    // Three ends: a ring and its middle each.
    expect(standing).toHaveLength(3 * 49);
    for (const p of standing) {
      const { distanceMm } = closestOnSurface(surface, p);
      expect(distanceMm).toBeGreaterThan(0.15 - 1e-4);
      expect(distanceMm).toBeLessThan(0.15 + 1e-4);
      expect(over(p)).toBeCloseTo(8, 4);
    }
    const plugs = buildSurfaceIndex(back.clean);
    const sunk = points(front.clean).filter((p) =>
      back.seams[0]!.keys.some((key) => {
        const from = subtract(p, key.at);
        return (
          Math.abs(over(p) - 8.15) < 1e-3 && norm(subtract(from, scale(normal, dot(from, normal)))) < 3.3
        );
      }),
    );
    expect(sunk).toHaveLength(3 * 49);
    for (const p of sunk) {
      const { distanceMm } = closestOnSurface(plugs, p);
      expect(distanceMm).toBeGreaterThan(0.15 - 1e-4);
      // At its corners the gap is mitred.
      expect(distanceMm).toBeLessThan(0.15 * Math.SQRT2 + 1e-3);
    }
  });

  test('the wall asked for stands between sockets and the outside', async () => {
    const ball = icosphere(20, 4);
    const { back, front } = await halved(ball, cutOf({ at: [0, 0, 4], keys: { count: 4 } }));
    expect(back.seams[0]!.keys).toHaveLength(4);
    const skin = buildSurfaceIndex(ball);
    const sunk = points(front.clean).filter(
      ([x, y, z]) =>
        Math.abs(z - 12.15) < 1e-3 &&
        back.seams[0]!.keys.some(({ at }) => Math.hypot(x - at[0], y - at[1]) < 3.3),
    );
    expect(sunk).toHaveLength(4 * 49);
    for (const p of sunk) expect(closestOnSurface(skin, p).distanceMm).toBeGreaterThan(1.5 - 1e-3);
  });
});

/** A profile in x and z, counter-clockwise, carried along y; star-shaped about its first corner. */
function prism(profile: readonly [number, number][], width: number): Mesh {
  const n = profile.length;
  const positions = [0, width].flatMap((y) => profile.flatMap(([x, z]) => [x, y, z]));
  const triangles: number[] = [];
  for (let i = 0; i < n; i++) {
    const next = (i + 1) % n;
    if (i > 0 && next > 0) triangles.push(0, i, next, n, n + next, n + i);
    triangles.push(i, n + i, n + next, i, n + next, next);
  }
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) };
}
