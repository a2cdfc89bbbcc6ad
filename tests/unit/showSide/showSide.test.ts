import { describe, expect, it } from 'vitest';
import { affineOf, applyAffine } from '../../../src/core/affine.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { closestOnSurface } from '../../../src/core/openings/closestOnSurface.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { movedOutline, type ShowOutline } from '../../../src/core/showSide/showOutline.ts';
import { lidHeight, showPane } from '../../../src/core/showSide/showPane.ts';
import { showSide } from '../../../src/core/showSide/showSide.ts';
import { cross, normalized, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { icosphere, random, sphere, turned } from '../../shapes.ts';

const radius = 20;
const polar = (tilt: number, round: number): Vec3 => [
  radius * Math.sin(tilt) * Math.cos(round),
  radius * Math.sin(tilt) * Math.sin(round),
  radius * Math.cos(tilt),
];

/** The circle at an angle from the pole of the ball, as a line of so many points. */
const circle = (tilt: number, count: number, facing: Vec3 | null = [0, 0, 1]): ShowOutline => ({
  outline: Array.from({ length: count }, (_, i) => polar(tilt, (2 * Math.PI * i) / count)),
  facing,
});

const onBall = (next: () => number): Vec3 => polar(Math.acos(1 - 2 * next()), 2 * Math.PI * next());

describe('the show side of a ball', () => {
  for (const tilt of [0.2, 0.8, 1.4]) {
    it(`is the cap inside a circle at ${tilt} rad from the pole, but for the sagitta of its chords`, () => {
      const count = 48;
      const { holds } = showSide([circle(tilt, count)]);
      const next = random(20261126);
      // Seen along the pole the polygon's chords lie up to this far inside the circle.
      const chord = radius * Math.sin(tilt) * (1 - Math.cos(Math.PI / count));
      let told = 0;
      for (let n = 0; n < 4000; n++) {
        const at = onBall(next);
        const out = Math.hypot(at[0], at[1]) - radius * Math.sin(tilt);
        if (at[2] > 0 && out < 1e-9 && out > -chord) continue;
        told++;
        expect(holds(at, normalized(at)), `${n}: ${at}`).toBe(at[2] > 0 && out < 0);
      }
      expect(told).toBeGreaterThan(3900);
    });
  }

  it('takes in a disc by as much as it reaches over the border', () => {
    const { reach } = showSide([circle(0.8, 720)]);
    const at = polar(0.9, 0.3);
    const over = radius * (Math.sin(0.8) - Math.sin(0.9));
    expect(reach(at, normalized(at), 3)).toBeCloseTo(over + 3, 3);
    expect(reach(at, normalized(at), 1)).toBeLessThan(0);
    const inside = polar(0.5, 0.3);
    expect(reach(inside, normalized(inside), 3)).toBeCloseTo(radius * (Math.sin(0.8) - Math.sin(0.5)) + 3, 2);
  });

  it('looks out of the side from which the points run counter-clockwise where nothing is said', () => {
    const ways = circle(0.8, 24, null);
    expect(showSide([ways]).holds(polar(0.1, 0), [0, 0, 1])).toBe(true);
    const back = { ...ways, outline: [...ways.outline].reverse() };
    expect(showSide([back]).holds(polar(0.1, 0), [0, 0, 1])).toBe(false);
  });

  it('goes with the part when it is turned, sized and shifted', () => {
    const map = affineOf((p) => {
      const [x, y, z] = turned(p, [30, -70, 200]);
      return [3.4 * x + 5, 3.4 * y - 80, 3.4 * z + 1];
    });
    const turn = affineOf((p) => turned(p, [30, -70, 200]));
    const here = showSide([circle(0.7, 30, null), circle(0.7, 30)]);
    const there = showSide([circle(0.7, 30, null), circle(0.7, 30)].map((one) => movedOutline(one, map)));
    const next = random(7);
    for (let n = 0; n < 500; n++) {
      const at = onBall(next);
      const facing = normalized(at);
      const [a, b] = [
        here.reach(at, facing, 0),
        there.reach(applyAffine(map, at), applyAffine(turn, facing), 0),
      ];
      if (Number.isFinite(a)) expect(b).toBeCloseTo(3.4 * a, 6);
      else expect(b).toBe(a);
    }
  });

  it('is the same on a copy that is triangulated anew', () => {
    const one = buildSurfaceIndex(sphere(radius, 96));
    const other = buildSurfaceIndex(icosphere(radius, 5));
    const { reach } = showSide(
      [circle(0.8, 40), circle(0.6, 25)].map((outline) => movedOutline(outline, tilted)),
    );
    const next = random(11);
    let inside = 0;
    for (let n = 0; n < 2000; n++) {
      const at = onBall(next);
      const [a, b] = [seen(one, at), seen(other, at)].map(([p, facing]) => reach(p!, facing!, 0));
      // The copies lie up to their own sagitta apart; only there may they differ.
      if (Math.abs(a!) > 0.05 && Math.abs(b!) > 0.05) expect(b! > 0, `${n}`).toBe(a! > 0);
      if (a! > 0) inside++;
    }
    expect(inside).toBeGreaterThan(300);
    expect(inside).toBeLessThan(600);
  });
});

const tilted = affineOf((p) => turned(p, [40, 10, 0]));

/** The surface's own point nearest to one, and its normal there. */
function seen(index: SurfaceIndex, at: Vec3): readonly [Vec3, Vec3] {
  const { point, facet } = closestOnSurface(index, at);
  const corner = (n: number): Vec3 => cornerOf(index.mesh, 3 * facet + n);
  return [point, normalized(cross(subtract(corner(1), corner(0)), subtract(corner(2), corner(0))))];
}

function cornerOf({ positions, triangles }: Mesh, at: number): Vec3 {
  const first = 3 * triangles[at]!;
  return [positions[first]!, positions[first + 1]!, positions[first + 2]!];
}

describe('what lies behind an outline', () => {
  const square: ShowOutline = {
    outline: [
      [-5, -5, 0],
      [5, -5, 0],
      [5, 5, 0],
      [-5, 5, 0],
    ],
    facing: [0, 0, 1],
  };
  // Diameter of the disc of 100 mm²: 11.28 mm.
  it.each([
    ['on it', 0, [0, 0, 1], true],
    ['a bulge over it', 11, [0, 0, 1], true],
    ['another surface high over it', 11.5, [0, 0, 1], false],
    ['a dent under it', -6.7, [0, 0, 1], true],
    ['the far wall of a bell, which looks the same way', -6.8, [0, 0, 1], false],
    ['the back of the part', -3, [0, 0, -1], false],
    ['a side wall', 0, [1, 0, 0], false],
  ] as const)('%s', (_, z, facing, held) => {
    expect(showSide([square]).holds([1, 2, z], facing)).toBe(held);
    expect(showSide([square]).holds([6, 2, z], facing)).toBe(false);
  });

  it('follows the shape of the outline, hollows included', () => {
    const hook: ShowOutline = {
      outline: [
        [0, 0, 0],
        [10, 0, 0],
        [10, 10, 0],
        [8, 10, 0],
        [8, 2, 0],
        [0, 2, 0],
      ],
      facing: null,
    };
    const { holds, reach } = showSide([hook]);
    expect(holds([9, 8, 0], [0, 0, 1])).toBe(true);
    expect(holds([4, 5, 0], [0, 0, 1])).toBe(false);
    expect(reach([4, 1, 0], [0, 0, 1], 0)).toBeCloseTo(1, 12);
    expect(reach([7, 5, 0], [0, 0, 1], 0.5)).toBeCloseTo(-0.5, 12);
  });

  it('is nothing where an outline has no area', () => {
    const line: ShowOutline = {
      outline: [
        [0, 0, 0],
        [1, 0, 0],
        [2, 0, 0],
      ],
      facing: null,
    };
    expect(showSide([line, { ...line, facing: [0, 0, 1] }]).holds([1, 0, 0], [0, 0, 1])).toBe(false);
    expect(showSide([]).reach([1, 0, 0], [0, 0, 1], 5)).toBe(-Infinity);
  });
});

describe('the lid over an outline', () => {
  it('is the plane where the corners lie in one, as mean value coordinates are exact there', () => {
    const plane = (x: number, y: number) => 0.3 * x - 0.7 * y + 2;
    const hook = [
      [0, 0],
      [10, 0],
      [10, 10],
      [8, 10],
      [8, 2],
      [0, 2],
    ] as const;
    const pane = showPane({ outline: hook.map(([x, y]) => [x, y, plane(x, y)]), facing: [0, 0, 1] })!;
    const next = random(3);
    for (let n = 0; n < 300; n++) {
      const [x, y] = next() < 0.5 ? [8 + 2 * next(), 10 * next()] : [10 * next(), 2 * next()];
      const from = subtract([x, y, 0], pane.origin);
      const place = [
        from[0] * pane.u[0] + from[1] * pane.u[1],
        from[0] * pane.v[0] + from[1] * pane.v[1],
      ] as const;
      expect(pane.origin[2] + lidHeight(pane, ...place)).toBeCloseTo(plane(x, y), 9);
    }
  });

  it('meets the border, and is a mean of it within', () => {
    const pane = showPane({
      outline: [
        [0, 0, 0],
        [4, 0, 8],
        [4, 4, 0],
        [0, 4, 8],
      ],
      facing: [0, 0, 1],
    })!;
    const at = (x: number, y: number) => {
      const from = subtract([x, y, 0], pane.origin);
      const along = (axis: Vec3) => from[0] * axis[0] + from[1] * axis[1];
      return pane.origin[2] + lidHeight(pane, along(pane.u), along(pane.v));
    };
    expect(at(1, 1e-7)).toBeCloseTo(2, 4);
    expect(at(1, 0)).toBeCloseTo(2, 9);
    expect(at(2, 2)).toBeCloseTo(4, 9);
    expect(at(-3, 0)).toBeCloseTo(0, 9);
  });
});
