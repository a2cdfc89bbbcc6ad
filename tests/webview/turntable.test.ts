import { describe, expect, test } from 'vitest';
import { packSurface } from '../../src/core/surface/packSurface.ts';
import { vertexNormals } from '../../src/core/surface/vertexNormals.ts';
import { dot, norm, subtract, type Vec3 } from '../../src/core/vector.ts';
import type { Flag, OpeningView } from '../../src/protocol/partView.ts';
import { workingText } from '../../webview/turntable/banner.ts';
import { barFacets } from '../../webview/turntable/barFacets.ts';
import { boreWall } from '../../webview/turntable/boreWall.ts';
import { cutPlane, extentAlong, isCutAway, planeNormal } from '../../webview/turntable/cut.ts';
import { flagOrder, flagText, raisePoles } from '../../webview/turntable/flagOrder.ts';
import { figureLines, openingText } from '../../webview/turntable/lists.ts';
import {
  between,
  framed,
  moved,
  orbitForKey,
  orbitFrom,
  orbitPosition,
  turned,
} from '../../webview/turntable/orbit.ts';
import { readSavedState } from '../../webview/turntable/savedState.ts';
import { box, icosphere, join, random, sphere, transformed, volumeOf } from '../shapes.ts';
import { ballView, equatorVent, inPlace } from './partViews.ts';

const flag = (number: number, severity: Flag['severity'] = 'error', layer: number | null = null): Flag => ({
  number,
  code: 'file-missing',
  severity,
  message: 'The wall is 0.4 mm thin.',
  layer,
  at: null,
  opening: null,
});

describe('flags', () => {
  test('are listed by their number and read aloud with severity and layer', () => {
    const flags = [flag(12), flag(3), flag(7)];
    expect(flagOrder(flags).map(({ number }) => number)).toEqual([3, 7, 12]);
    expect(flags.map(({ number }) => number)).toEqual([12, 3, 7]);
    expect(flagText(flag(3, 'warning', 812))).toBe('Warning 3: The wall is 0.4 mm thin. Layer 812.');
    expect(flagText(flag(4, 'info'))).toBe('Note 4: The wall is 0.4 mm thin.');
  });

  test('flags that stand on one another, wherever: an end is found, and no two discs overlap', () => {
    // The height of a disc raised by exactly one size is rounded now up, now down.
    for (let seed = 1; seed <= 2000; seed++) {
      const next = random(seed);
      const y = (next() - 0.3) * 10 ** (1 + 5 * next());
      const points = Array.from({ length: 12 }, (_, n) => ({
        x: (n % 3) * next(),
        y: n % 2 ? y : y - 30 * next(),
      }));
      const tops = raisePoles(points, 26)
        .map((pole) => pole.y - pole.height)
        .sort((a, b) => a - b);
      for (let n = 1; n < tops.length; n++)
        expect(tops[n]! - tops[n - 1]!, `seed ${seed}`).toBeGreaterThan(26 - 1e-6);
    }
    const faraway = Array.from({ length: 9 }, () => ({ x: 0, y: 1e17 }));
    expect(raisePoles(faraway, 26)).toHaveLength(9);
  });

  test('no two discs overlap, and the first comers do not move', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const next = random(seed);
      const points = Array.from({ length: 40 }, () => ({ x: 200 * next(), y: 200 * next() }));
      const poles = raisePoles(points, 26);
      poles.forEach((a, i) => {
        for (const b of poles.slice(i + 1)) {
          const apart = Math.abs(a.x - b.x) >= 26 || Math.abs(a.y - a.height - (b.y - b.height)) >= 26 - 1e-6;
          expect(apart, `seed ${seed}`).toBe(true);
        }
      });
      expect(raisePoles(points.slice(0, 9), 26)).toEqual(poles.slice(0, 9));
    }
    expect(
      raisePoles(
        Array.from({ length: 30 }, () => ({ x: 5, y: 5 })),
        26,
      ),
    ).toHaveLength(30);
  });
});

describe('cut', () => {
  test('a layer is cut at its middle and keeps what is printed by then', () => {
    const plane = cutPlane({ by: 'layer', layer: 812 }, 0.05)!;
    expect(plane.normal).toEqual([0, 0, 1]);
    expect(plane.offset).toBeCloseTo(40.625, 12);
    expect(isCutAway(plane, [0, 0, 40.6])).toBe(false);
    expect(isCutAway(plane, [0, 0, 40.7])).toBe(true);
    expect(isCutAway(null, [0, 0, 1e9])).toBe(false);
    expect(cutPlane({ by: 'none' }, 0.05)).toBeNull();
  });

  test('a named plane opens the side that the camera sees', () => {
    expect(planeNormal('x', [-0.5, 0.2, 0.1])).toEqual([-1, 0, 0]);
    expect(planeNormal('y', [0.5, -0.2, 0.1])).toEqual([0, -1, 0]);
    expect(planeNormal('facing', [0, 0.6, 0.8])).toEqual([0, 0.6, 0.8]);
  });

  test('extent along a direction, of the part as it is turned', () => {
    const mesh = transformed(box([10, 20, 30]), { shift: [1, 2, 3] });
    const surface = packSurface(mesh, vertexNormals(mesh), 0, 1);
    const expectExtent = (seen: readonly [number, number], low: number, high: number): void => {
      expect(Math.abs(seen[0] - low)).toBeLessThan(surface.step);
      expect(Math.abs(seen[1] - high)).toBeLessThan(surface.step);
    };
    expectExtent(extentAlong(surface, inPlace, [1, 0, 0]), -4, 6);
    expectExtent(extentAlong(surface, inPlace, [0, 0, -1]), -18, 12);
    // A quarter turn about z, then 5 up: x becomes y.
    const turned = { linear: [0, -1, 0, 1, 0, 0, 0, 0, 1], shift: [0, 0, 5] as Vec3 };
    expectExtent(extentAlong(surface, turned, [0, 1, 0]), -4, 6);
    expectExtent(extentAlong(surface, turned, [0, 0, 1]), -7, 23);
    const empty = { ...surface, vertices: new Uint16Array(0) };
    expect(extentAlong(empty, inPlace, [1, 0, 0])).toEqual([0, 0]);
  });
});

describe('orbit', () => {
  test('position and back, turned, moved and between', () => {
    const orbit = { target: [1, 2, 3] as Vec3, distance: 50, azimuth: 0.7, elevation: -0.4 };
    const back = orbitFrom(orbitPosition(orbit), orbit.target);
    expect(back.distance).toBeCloseTo(50, 9);
    expect(back.azimuth).toBeCloseTo(0.7, 9);
    expect(back.elevation).toBeCloseTo(-0.4, 9);
    expect(turned(orbit, 0, 10).elevation).toBeLessThan(Math.PI / 2);
    // Moving slides across the line of sight: distance and direction stay.
    const slid = subtract(moved(orbit, 0.1, 0.2).target, orbit.target);
    expect(dot(slid, subtract(orbitPosition(orbit), orbit.target))).toBeCloseTo(0, 9);
    expect(norm(slid)).toBeCloseTo(50 * Math.hypot(0.1, 0.2), 9);
    const halfway = between({ ...orbit, azimuth: 3.1 }, { ...orbit, azimuth: -3.1 }, 0.5);
    expect(Math.abs(halfway.azimuth)).toBeCloseTo(Math.PI, 6);
  });

  test('framing shows all of a ball', () => {
    const halfAngle = 0.3;
    const { distance } = framed([0, 0, 0], 10, halfAngle, 'front');
    expect(Math.asin(10 / distance)).toBeLessThan(halfAngle);
    expect(Math.asin(10 / distance)).toBeGreaterThan(0.8 * halfAngle);
    expect(orbitPosition(framed([0, 0, 0], 10, halfAngle, 'front'))[1]).toBeLessThan(0);
    expect(orbitPosition(framed([0, 0, 0], 10, halfAngle, 'above'))[2]).toBeGreaterThan(0);
  });

  test('keys', () => {
    const orbit = framed([0, 0, 0], 10, 0.3, 'corner');
    expect(orbitForKey(orbit, 'ArrowLeft', false)!.azimuth).toBeLessThan(orbit.azimuth);
    expect(orbitForKey(orbit, 'ArrowUp', false)!.elevation).toBeGreaterThan(orbit.elevation);
    expect(orbitForKey(orbit, 'ArrowUp', true)!.target[2]).toBeGreaterThan(0);
    expect(orbitForKey(orbit, '+', false)!.distance).toBeLessThan(orbit.distance);
    expect(orbitForKey(orbit, 'q', false)).toBeNull();
  });
});

describe('boreWall', () => {
  /** Closed form: on a ring of radius r round an axis through the centre, a ball of radius R ends at √(R² − r²). */
  const rim = (radius: number): number => 30 - Math.sqrt(radius ** 2 - 25);

  test('ends on both surfaces of a hollow ball, in any direction', () => {
    for (const turn of [
      [0, 0, 0],
      [31, 47, 12],
      [0, 90, 0],
      [200, 10, 5],
    ] as Vec3[]) {
      const outer = transformed(icosphere(30, 5), { turn });
      const cavity = transformed(icosphere(28, 5), { turn });
      const view = ballView();
      const opening: OpeningView = { ...equatorVent, mouth: [0, 0, -30], axis: [0, 0, 1] };
      const wall = boreWall(outer, cavity, opening);
      expect(view.openings).toHaveLength(1);
      let least = Number.POSITIVE_INFINITY;
      let most = Number.NEGATIVE_INFINITY;
      for (let i = 0; i < wall.positions.length; i += 3) {
        const [x, y, z] = wall.positions.subarray(i, i + 3) as unknown as Vec3;
        expect(Math.hypot(x, y)).toBeCloseTo(5, 4);
        expect(wall.normals[i]! * x + wall.normals[i + 1]! * y).toBeCloseTo(-5, 3);
        least = Math.min(least, z + 30);
        most = Math.max(most, z + 30);
      }
      // An icosphere's facets lie up to R·(edge/R)²/8 ≈ 0.006 mm inside the ball.
      expect(least).toBeCloseTo(rim(30), 1);
      expect(most).toBeCloseTo(rim(28), 1);
      expect(areaOf(wall.positions)).toBeCloseTo(2 * Math.PI * 5 * (rim(28) - rim(30)), 0);
    }
  });

  test('a bore that ends in solid has a floor; one that goes through has none', () => {
    const cube = box(20);
    const blind: OpeningView = { ...equatorVent, mouth: [10, 0, 0], axis: [-1, 0, 0], radius: 3, depth: 6 };
    const wallArea = 2 * Math.PI * 3 * 6;
    expect(areaOf(boreWall(cube, null, blind).positions)).toBeCloseTo(wallArea + Math.PI * 9, 0);
    const through = { ...blind, depth: 25 };
    expect(areaOf(boreWall(cube, null, through).positions)).toBeCloseTo(2 * Math.PI * 3 * 20, 0);
  });

  test('overlapping shells are one solid', () => {
    const shells = join(box(20), transformed(box(20), { shift: [-5, 0.3, 0.2] }));
    const bore: OpeningView = { ...equatorVent, mouth: [10, 0, 0], axis: [-1, 0, 0], radius: 3, depth: 40 };
    expect(areaOf(boreWall(shells, null, bore).positions)).toBeCloseTo(2 * Math.PI * 3 * 25, 0);
  });

  test('an opening beside the part has no wall', () => {
    const aside: OpeningView = { ...equatorVent, mouth: [10, 50, 0] };
    expect(boreWall(box(20), null, aside).positions).toHaveLength(0);
  });
});

function areaOf(positions: Float32Array): number {
  let area = 0;
  for (let i = 0; i < positions.length; i += 9) {
    const corner = (j: number): Vec3 => [positions[i + j]!, positions[i + j + 1]!, positions[i + j + 2]!];
    const [a, b, c] = [corner(0), corner(3), corner(6)];
    const [u, v] = [subtract(b, a), subtract(c, a)];
    area += norm([u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]) / 2;
  }
  return area;
}

test('a bar’s facets enclose its frustum, and their normals look away from its axis', () => {
  const { positions, normals } = barFacets(Float32Array.of(1, 2, 3, 4, -2, 9, 0.5, 1.5));
  // Ten sides of two facets, and two ends of ten.
  expect(positions.length).toBe(9 * 40);
  const volume = volumeOf({ positions, triangles: Uint32Array.from({ length: 120 }, (_, n) => n) });
  const tenth = (10 / (2 * Math.PI)) * Math.sin((2 * Math.PI) / 10);
  const height = Math.hypot(3, -4, 6);
  expect(volume).toBeCloseTo((Math.PI / 3) * height * (0.25 + 0.75 + 2.25) * tenth, 4);
  for (let at = 0; at < normals.length; at += 3) {
    expect(Math.hypot(normals[at]!, normals[at + 1]!, normals[at + 2]!)).toBeCloseTo(1, 5);
  }
  expect(barFacets(Float32Array.of(1, 2, 3, 1, 2, 3, 1, 1)).positions.length).toBe(0);
});

test('a sphere’s vertex normals point away from its centre', () => {
  const mesh = sphere(10, 48);
  const normals = vertexNormals(mesh);
  for (let i = 0; i < normals.length; i += 3) {
    const along = [0, 1, 2].reduce(
      (sum, axis) => sum + (normals[i + axis]! * mesh.positions[i + axis]!) / 10,
      0,
    );
    expect(along).toBeGreaterThan(0.999);
  }
});

test('a saved state is taken back whole or not at all', () => {
  const state = {
    part: 'torso',
    orbit: { target: [0, 0, 1], distance: 2, azimuth: 0, elevation: 0 },
    cut: { by: 'layer', layer: 4 },
    show: { outside: true, seeThrough: false, hollow: true, supports: true, flags: true },
    flag: 3,
  };
  expect(readSavedState(structuredClone(state))).toEqual(state);
  expect(readSavedState({ ...state, cut: { by: 'x', normal: [1, 0, 0], offset: 3 } })?.cut).toMatchObject({
    by: 'x',
  });
  for (const bad of [
    undefined,
    null,
    'x',
    {},
    { ...state, part: 3 },
    { ...state, orbit: { ...state.orbit, distance: Number.NaN } },
    { ...state, orbit: { ...state.orbit, target: [1, 2] } },
    { ...state, cut: { by: 'layer' } },
    { ...state, cut: { by: 'elsewhere' } },
    { ...state, show: { outside: true } },
  ]) {
    expect(readSavedState(bad)).toBeNull();
  }
});

test('texts', () => {
  expect(workingText({ kind: 'working', part: 'torso', stage: '', fraction: 0, scene: null })).toBe(
    'torso: starting',
  );
  expect(
    workingText({ kind: 'working', part: 'torso', stage: 'hollowing', fraction: 0.416, scene: null }),
  ).toBe('torso: hollowing, 42 %');
  expect(openingText(equatorVent)).toBe('Vent 0: 10 mm wide, 5 mm deep, 2 mm through solid');
  expect(figureLines(ballView())).toBe('lantern\nResin: 21.1 ml\nPrint time: 3.4 hours');
});
