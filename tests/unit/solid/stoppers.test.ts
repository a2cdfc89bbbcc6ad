import type { ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { borePolygon } from '../../../src/core/openings/boreRings.ts';
import { closestOnSurface } from '../../../src/core/openings/closestOnSurface.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import { fitStopper } from '../../../src/core/openings/fitStopper.ts';
import type { OpeningDecision, OpeningFacts } from '../../../src/core/openings/opening.ts';
import { placeOpening } from '../../../src/core/openings/placeOpening.ts';
import { type ShapedStopper, standStoppers } from '../../../src/core/openings/standStoppers.ts';
import type { NoStopper, Stopper, StopperDecision } from '../../../src/core/openings/stopper.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { add, cross, dot, norm, normalized, scale, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { largestCommonPiece } from '../../../src/solid/largestCommonPiece.ts';
import { makeReady } from '../../../src/solid/makeReady.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { separateVertices } from '../../../src/solid/separateVertices.ts';
import { shapeStoppers } from '../../../src/solid/shapeStoppers.ts';
import * as shapes from '../../shapes.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await openSolid();
});

interface Body {
  readonly outer: Mesh;
  readonly cavity: Mesh;
  readonly wallMm: number;
}

const asked = { clearance: 0.15, taper: 2, lip: 0 };

function placed({ outer, cavity, wallMm }: Body, decision: Partial<OpeningDecision>): OpeningFacts {
  const index = buildSurfaceIndex(cavity);
  return placeOpening(
    { id: 'vents/0', kind: 'vent', at: [0, 0, 0], diameter: 6, ...decision },
    {
      outer: buildSurfaceIndex(outer),
      cavity: index,
      facetChamber: new Uint32Array(cavity.triangles.length / 3),
      wallMm,
      toPrint: (point) => point,
      directionToPrint: (direction) => direction,
    },
  );
}

function fitted(
  body: Body,
  facts: OpeningFacts,
  decision: Partial<StopperDecision> = {},
): Stopper | NoStopper {
  const stopper = { opening: facts.decision.id, ...asked, ...decision };
  return fitStopper(stopper, facts, buildSurfaceIndex(body.outer), buildSurfaceIndex(body.cavity));
}

/** The stopper that must have been made. */
function shaped(body: Body, facts: OpeningFacts, decision: Partial<StopperDecision> = {}): ShapedStopper {
  const fit = fitted(body, facts, decision);
  if ('reason' in fit) throw new Error(fit.reason);
  const [made] = shapeStoppers(kernel, body.outer, [fit], uninterrupted);
  if (made === undefined || 'reason' in made) throw new Error(made?.reason);
  return made;
}

const box: Body = { outer: shapes.box(40), cavity: shapes.box(37), wallMm: 1.5 };
const ball: Body = { outer: shapes.icosphere(20, 6), cavity: shapes.icosphere(18.5, 6), wallMm: 1.5 };

/** A sphere with bumps of `height` mm. */
function bumpy(radius: number, height: number): Mesh {
  const { positions, triangles } = shapes.icosphere(radius, 6);
  const moved = positions.map((value, at) => {
    const [x, y, z] = positions.subarray(at - (at % 3), at - (at % 3) + 3);
    return value * (1 + (height / radius) * Math.sin(1.1 * x!) * Math.sin(1.3 * y!) * Math.sin(1.2 * z!));
  });
  return { positions: moved, triangles };
}
const sculpt: Body = { outer: bumpy(20, 0.8), cavity: shapes.icosphere(17.5, 6), wallMm: 1.7 };

const corner = ({ positions: p, triangles: t }: Mesh, facet: number, k: number): Vec3 => {
  const at = 3 * t[3 * facet + k]!;
  return [p[at]!, p[at + 1]!, p[at + 2]!];
};

interface Facet {
  readonly middle: Vec3;
  readonly normal: Vec3;
  readonly areaMm2: number;
  readonly corners: readonly [Vec3, Vec3, Vec3];
}

function facetsOf(mesh: Mesh): Facet[] {
  return Array.from({ length: mesh.triangles.length / 3 }, (_, facet) => {
    const corners = [0, 1, 2].map((k) => corner(mesh, facet, k)) as [Vec3, Vec3, Vec3];
    const [a, b, c] = corners;
    const normal = cross(subtract(b, a), subtract(c, a));
    return {
      middle: scale(add(add(a, b), c), 1 / 3),
      normal: norm(normal) > 0 ? normalized(normal) : normal,
      areaMm2: norm(normal) / 2,
      corners,
    };
  });
}

/** Points all over the surface, some in every facet. */
function samplesOf(mesh: Mesh): Vec3[] {
  const next = shapes.random(4);
  return facetsOf(mesh).flatMap(({ corners: [a, b, c], areaMm2 }) =>
    Array.from({ length: 1 + Math.ceil(8 * areaMm2) }, () => {
      const [s, t] = [next(), next()];
      const [u, v] = s + t > 1 ? [1 - s, 1 - t] : [s, t];
      return add(a, add(scale(subtract(b, a), u), scale(subtract(c, a), v)));
    }),
  );
}

const onSurface = (index: SurfaceIndex, point: Vec3): number => closestOnSurface(index, point).distanceMm;

/** Bit-equal corners welded: what a reader of the STL makes of it. */
function welded({ positions, triangles }: Mesh): Mesh {
  const known = new Map<string, number>();
  const number = Array.from({ length: positions.length / 3 }, (_, v) => {
    const key = positions
      .subarray(3 * v, 3 * v + 3)
      .map((value) => value + 0)
      .join();
    if (!known.has(key)) known.set(key, v);
    return known.get(key)!;
  });
  return { positions, triangles: triangles.map((v) => number[v]!) };
}

describe('a stopper in a flat wall', () => {
  test.each([
    { clearance: 0.15, taper: 2, lip: 0 },
    { clearance: 0.1, taper: 0, lip: 0 },
    { clearance: 0.3, taper: 8, lip: 0.7 },
  ])('%j is the frustum of a cone through the wall', (decision) => {
    const facts = placed(box, { at: [3, -4, 20], diameter: 7 });
    const { mesh, stopper } = shaped(box, facts, decision);
    const length = 1.5 + decision.lip;
    expect(stopper.depthMm).toBeCloseTo(length, 4);
    expect(stopper.notes).toEqual([]);
    const [a, b] = [
      3.5 - decision.clearance,
      3.5 - decision.clearance - length * Math.tan((decision.taper * Math.PI) / 180),
    ];
    // Frustum of a cone, handbook: h·π/3·(a² + ab + b²). The bore's polygon is not quite the circle.
    const round = ((Math.PI * length) / 3) * (a * a + a * b + b * b);
    expect(Math.abs(shapes.volumeOf(mesh) / round - 1)).toBeLessThan(1e-3);
    expect(isClosed(welded(mesh))).toBe(true);
  });

  test('stands on its inner end, its outside up, at full volume', () => {
    const facts = placed(box, { at: [20, 3, -4] });
    const one = shaped(box, facts);
    const { mesh, at } = standStoppers([one], 100);
    const { cornerRadius, sides, turn } = borePolygon(3);
    const z = [...mesh.positions].filter((_, n) => n % 3 === 2);
    expect(Math.min(...z)).toBe(0);
    expect(Math.max(...z)).toBeCloseTo(1.5, 4);
    expect(at).toEqual([[0, 0, 0]]);
    expect(shapes.volumeOf(mesh)).toBeCloseTo(shapes.volumeOf(one.mesh), 3);
    const foot = facetsOf(mesh).filter(({ middle, normal }) => middle[2] === 0 && normal[2] < -0.999);
    const footRadius = cornerRadius - (0.15 + 1.5 * Math.tan((2 * Math.PI) / 180)) / Math.cos(turn / 2);
    const area = foot.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    expect(area).toBeCloseTo(shapes.polygonArea(footRadius, sides), 3);
  });

  test('no solid is left of one too narrow, off the surface or into no chamber', () => {
    const narrow = placed(box, { at: [3, -4, 20], diameter: 1.2 });
    expect(fitted(box, narrow)).toMatchObject({ reason: expect.stringContaining('1 mm') });
    const off = placed(box, { at: [3, -4, 30] });
    expect(fitted(box, off)).toMatchObject({
      opening: 'vents/0',
      reason: 'the opening lies off the surface',
    });
    const shallow = placed(box, { at: [3, -4, 20], depth: 1 });
    expect(fitted(box, shallow)).toMatchObject({ reason: 'the opening reaches no chamber' });
  });

  test('keeps clear of the far wall and leaves itself a foot, and says so', () => {
    const facts = placed(box, { at: [3, -4, 20] });
    const long = fitted(box, facts, { lip: 60 });
    expect(long).toMatchObject({ depthMm: expect.closeTo(38.5 - 0.15, 3) });
    expect((long as Stopper).notes[0]).toContain('no more room');
    const steep = fitted(box, facts, { taper: 60, lip: 3 }) as Stopper;
    expect(4.5 * Math.tan((steep.taperDeg * Math.PI) / 180)).toBeCloseTo((3 - 0.15) / 2, 3);
    expect(steep.notes[0]).toContain('instead of 60°');
  });

  test('ends before the bottom of a bore that is solid beside the chamber', () => {
    // Half the bore lies over the chamber (its side wall at x = 18.5), the rest ends in solid.
    const facts = placed(box, { at: [18.4, 0, 20], depth: 4, toward: [0, 0, -1] });
    const one = fitted(box, facts, { lip: 9 }) as Stopper;
    expect(one.depthMm).toBeCloseTo(4 - 0.15, 3);
  });
});

describe('a stopper in a curved wall', () => {
  test('of a sphere is a cylinder under a cap', () => {
    const facts = placed(ball, { at: [0, 0, 20], diameter: 8, toward: [0, 0, -1] });
    const { mesh, stopper } = shaped(ball, facts, { clearance: 0.2, taper: 0 });
    const [R, a] = [20, 3.8];
    // As long as the wall is deep at the rim of the bore: there the cavity lies lowest.
    expect(stopper.depthMm).toBeCloseTo(20 - Math.sqrt(18.5 ** 2 - 4 ** 2), 2);
    // Under the sphere within r ≤ a: (2π/3)(R³ − (R² − a²)^1.5), less what lies below the foot.
    const under = ((2 * Math.PI) / 3) * (R ** 3 - (R * R - a * a) ** 1.5);
    const expected = under - Math.PI * a * a * (R - stopper.depthMm);
    expect(Math.abs(shapes.volumeOf(mesh) / expected - 1)).toBeLessThan(3e-3);
  });

  test.each([
    ['a sphere', ball, { at: [0, 0, 20] as Vec3, diameter: 8 }],
    ['a sculpt with bumps', sculpt, { at: [9, 11, 13.5] as Vec3, diameter: 7 }],
    ['a sculpt, leaning', sculpt, { at: [-9, 11, 13.5] as Vec3, diameter: 5, toward: [0.1, -1, -1] as Vec3 }],
  ])('%s: its outside is the sculpt’s, facet by facet', (_, body, decision) => {
    const facts = placed(body, decision);
    const { mesh, stopper } = shaped(body, facts);
    expect(isClosed(welded(mesh))).toBe(true);
    const outer = buildSurfaceIndex(body.outer);
    const { axis, mouth } = stopper.bore;
    const outside = facetsOf(mesh).filter(({ normal }) => dot(normal, axis) < -0.3);
    const { cornerRadius, sides, turn } = borePolygon(stopper.bore.radius);
    const span = shapes.polygonArea(cornerRadius - 0.15 / Math.cos(turn / 2), sides);
    const seen = outside.reduce((sum, { areaMm2, normal }) => sum - areaMm2 * dot(normal, axis), 0);
    expect(seen / span).toBeCloseTo(1, 3);
    const original = facetsOf(body.outer);
    for (const { corners, middle, normal, areaMm2 } of outside) {
      for (const point of corners) expect(onSurface(outer, point)).toBeLessThan(2e-5);
      if (areaMm2 < 1e-3) continue;
      const { facet } = closestOnSurface(outer, middle);
      expect(dot(normal, original[facet]!.normal)).toBeGreaterThan(0.9999);
    }
    // And the foot is flat, at one depth.
    const foot = facetsOf(mesh).filter(({ normal }) => dot(normal, axis) > 0.999);
    for (const { middle } of foot) {
      expect(dot(subtract(middle, mouth), axis)).toBeCloseTo(stopper.depthMm, 4);
    }
  });

  test.each([
    ['flat', box, { at: [3, -4, 20] as Vec3, diameter: 7 }],
    ['round', ball, { at: [0, 0, 20] as Vec3, diameter: 8 }],
    [
      'sculpted and leaning',
      sculpt,
      { at: [-9, 11, 13.5] as Vec3, diameter: 5, toward: [0.1, -1, -1] as Vec3 },
    ],
  ])('%s: fits its hole with the clearance everywhere', (_, body, decision) => {
    const facts = placed(body, decision);
    const clearance = 0.2;
    const { mesh, stopper } = shaped(body, facts, { clearance, taper: 3 });
    const ready = makeReady(kernel, body.outer, body.cavity, [cutterMesh(facts.placed!)], uninterrupted);
    if (!ready.ok) throw new Error(ready.error.message);
    const hole = buildSurfaceIndex(ready.value.mesh);
    const distances = samplesOf(mesh).map((point) => onSurface(hole, point));
    expect(Math.min(...distances)).toBeGreaterThan(clearance - 1e-3);
    // Level with the mouth it is the clearance, no more.
    expect(Math.min(...distances)).toBeLessThan(clearance + 1e-2);
    const whole = kernel.Manifold.ofMesh(
      new kernel.Mesh({ numProp: 3, vertProperties: mesh.positions, triVerts: mesh.triangles }),
    );
    const part = kernel.Manifold.ofMesh(
      new kernel.Mesh({
        numProp: 3,
        vertProperties: ready.value.mesh.positions,
        triVerts: ready.value.mesh.triangles,
      }),
    );
    const both = whole.intersect(part);
    expect(both.volume()).toBe(0);
    for (const solid of [whole, part, both]) solid.delete();
    expect(stopper.clearanceMm).toBe(clearance);
  });
});

test('of what a bore has in common with a part, the largest piece is the stopper', () => {
  const small = shapes.transformed(shapes.box(2), { shift: [0, 0, 8] });
  for (const part of [shapes.join(shapes.box(6), small), shapes.join(small, shapes.box(6))]) {
    const piece = largestCommonPiece(kernel, part, shapes.box(20));
    if ('unclean' in piece) throw new Error(piece.unclean);
    expect(shapes.volumeOf(piece)).toBeCloseTo(6 ** 3, 4);
  }
});

describe('several stoppers', () => {
  const ids = ['vents/0', 'vents/1', 'drains/0', 'drains/1', 'drains/2'];
  const many = () => {
    const directions: Vec3[] = [
      [0, 0, 1],
      [1, 0, 0],
      [0, -1, 0.2],
      [-1, 0.3, 0],
      [0.35, 0, 1],
    ];
    const facts = directions.map((way, n) =>
      placed(ball, { id: ids[n]!, at: scale(normalized(way), 20), diameter: [8, 5, 6, 7, 4][n]! }),
    );
    const fits = facts.map((one) => fitted(ball, one)) as Stopper[];
    return shapeStoppers(kernel, ball.outer, fits, uninterrupted) as ShapedStopper[];
  };

  test('shaped together are as if shaped alone, in their order', () => {
    const together = many();
    expect(together.map(({ stopper }) => stopper.opening)).toEqual(ids);
    for (const { stopper, mesh } of together) {
      const [alone] = shapeStoppers(kernel, ball.outer, [stopper], uninterrupted) as ShapedStopper[];
      expect(shapes.volumeOf(mesh)).toBeCloseTo(shapes.volumeOf(alone!.mesh), 4);
    }
  });

  test.each([200, 18])('stand side by side on %i mm, none touching another, within the width', (width) => {
    const shapedOnes = many();
    const standing = standStoppers(shapedOnes, width);
    const { at } = standing;
    const mesh = separateVertices(standing.mesh);
    const radii = shapedOnes.map(({ stopper }) => borePolygon(stopper.bore.radius).cornerRadius);
    for (let a = 0; a < at.length; a++) {
      for (let b = 0; b < a; b++) {
        const apart = norm(subtract(at[a]!, at[b]!)) - radii[a]! - radii[b]!;
        expect(apart).toBeGreaterThan(2.99);
      }
    }
    const x = [...mesh.positions].filter((_, n) => n % 3 === 0);
    expect(Math.max(...x) - Math.min(...x)).toBeLessThan(width);
    const z = [...mesh.positions].filter((_, n) => n % 3 === 2);
    expect(Math.min(...z)).toBe(0);
    expect(isClosed(welded(mesh))).toBe(true);
    const sum = shapedOnes.reduce((total, one) => total + shapes.volumeOf(one.mesh), 0);
    expect(Math.abs(shapes.volumeOf(mesh) / sum - 1)).toBeLessThan(1e-4);
    // Left to right, then the next row further back.
    for (let n = 1; n < at.length; n++) {
      expect(at[n]![0] > at[n - 1]![0] || at[n]![1] > at[n - 1]![1]).toBe(true);
    }
    expect(width === 18 ? at.at(-1)![1] > at[0]![1] : Math.max(...at.map(([, y]) => y)) < 1).toBe(true);
  });

  test('the same bytes twice', () => {
    expect(standStoppers(many(), 100)).toEqual(standStoppers(many(), 100));
  });
});
