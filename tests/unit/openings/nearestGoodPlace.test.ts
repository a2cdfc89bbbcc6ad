import { describe, expect, it } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { hasMouthRoom } from '../../../src/core/openings/hasMouthRoom.ts';
import { nearestGoodPlace, type PlaceTest } from '../../../src/core/openings/nearestGoodPlace.ts';
import type { OpenablePart } from '../../../src/core/openings/openablePart.ts';
import type { OpeningDecision } from '../../../src/core/openings/opening.ts';
import { openingVerdicts } from '../../../src/core/openings/openingVerdicts.ts';
import { placeOpening } from '../../../src/core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { surfacePlaces } from '../../../src/core/openings/surfacePlaces.ts';
import { success } from '../../../src/core/result.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { box, cylinder, icosphere, join, sphere, transformed } from '../../shapes.ts';

/** Far above the plate, in its own axes. */
function openable(mesh: Mesh, wallMm: number | null): OpenablePart {
  const lifted = transformed(mesh, { shift: [0, 0, 100] });
  const cavity =
    wallMm === null ? null : hollow(lifted, { wallMm, leastChamberMm3: 50, maxNodes: 5e6 }, uninterrupted);
  if (cavity !== null && !cavity.ok) throw new Error(cavity.error.message);
  return {
    outer: buildSurfaceIndex(lifted),
    cavity: cavity && buildSurfaceIndex(cavity.value.mesh),
    facetChamber: cavity?.value.facetChamber ?? null,
    wallMm,
    toPrint: ([x, y, z]) => [x, y, z + 100],
    directionToPrint: (way) => way,
  };
}

const vent = (at: Vec3, diameter: number, more: Partial<OpeningDecision> = {}): OpeningDecision => ({
  id: 'vents/0',
  kind: 'vent',
  at,
  diameter,
  ...more,
});

const toSource = ([x, y, z]: Vec3): Vec3 => [x, y, z - 100];

function testOn(part: OpenablePart, accepts: (decision: OpeningDecision) => boolean = () => true): PlaceTest {
  return {
    toSource,
    chamber: null,
    isRoomy: ({ placed, facing }) => hasMouthRoom(placed, facing, part.outer),
    isGood: (facts) => openingVerdicts(facts, true).length === 0,
    accepts: async (decision) => success(accepts(decision)),
  };
}

async function nearest(decision: OpeningDecision, part: OpenablePart, test = testOn(part)) {
  const result = await nearestGoodPlace(decision, part, test, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

/** Every facet looked at in pieces far finer than the search's steps, and each piece placed and judged in full. */
function byBruteForce(
  decision: OpeningDecision,
  part: OpenablePart,
  test: PlaceTest,
  pieces: number,
): number {
  const { positions, triangles } = part.outer.mesh;
  const from = part.toPrint(decision.at);
  const corner = (n: number): Vec3 =>
    [0, 1, 2].map((c) => positions[3 * triangles[n]! + c]!) as unknown as Vec3;
  const points: { at: Vec3; away: number }[] = [];
  for (let facet = 0; facet < triangles.length / 3; facet++) {
    const [a, b, c] = [corner(3 * facet), corner(3 * facet + 1), corner(3 * facet + 2)];
    for (let i = 0; i <= pieces; i++) {
      for (let j = 0; i + j <= pieces; j++) {
        const [s, t] = [i / pieces, j / pieces];
        const at = a.map((x, n) => x + s * (b[n]! - x) + t * (c[n]! - x)) as unknown as Vec3;
        points.push({ at, away: norm(subtract(at, from)) });
      }
    }
  }
  points.sort((p, q) => p.away - q.away);
  for (const { at, away } of points) {
    const facts = placeOpening({ ...decision, at: toSource(at) }, part);
    if (facts.placed === null || facts.facing === null) continue;
    if (test.isRoomy({ placed: facts.placed, facing: facts.facing }) && test.isGood(facts)) return away;
  }
  return Infinity;
}

describe('the nearest good place', () => {
  const cube = openable(box([24, 24, 24]), 1.5);
  const ball = openable(icosphere(12, 2), 1.5);
  it.each([
    ['at a cube’s corner', cube, vent([11.5, -12, 11], 5)],
    ['at a cube’s edge', cube, vent([12, 3, 11.9], 4)],
    ['at a cube’s side', cube, vent([9, 2, 12], 6)],
  ] as const)('%s is no further than brute force finds one, but for a step', async (_, part, decision) => {
    const test = testOn(part);
    const found = await nearest(decision, part);
    const brute = byBruteForce(decision, part, test, 60);
    expect(Number.isFinite(brute)).toBe(true);
    expect(found!.movedMm).toBeLessThan(brute + 1);
    // Nothing nearer than the brute force finds in its fineness of 0.6 mm.
    expect(found!.movedMm).toBeGreaterThan(brute - 0.6);
    const facts = placeOpening(found!.decision, part);
    expect(test.isGood(facts)).toBe(true);
    expect(norm(subtract(facts.placed!.mouth, part.toPrint(decision.at)))).toBeCloseTo(found!.movedMm, 2);
  });

  it('keeps to what else is asked: here off one half of a ball', async () => {
    const at: Vec3 = [11, -3, -2];
    const test: PlaceTest = { ...testOn(ball), isGood: ({ placed }) => placed!.mouth[2] > 103 };
    const found = await nearest(vent(at, 3), ball, test);
    expect(found!.movedMm).toBeGreaterThan(2);
    expect(Math.abs(found!.movedMm - byBruteForce(vent(at, 3), ball, test, 4))).toBeLessThan(1);
  });

  it('takes the next one where the check says no, and none where it always does', async () => {
    const decision = vent([0, 0, 12], 4);
    const far = await nearest(
      decision,
      cube,
      testOn(cube, ({ at }) => norm(subtract(at, decision.at)) > 5),
    );
    expect(far!.movedMm).toBeGreaterThan(5);
    expect(far!.movedMm).toBeLessThan(6);
    let asked = 0;
    const never = testOn(cube, () => {
      asked++;
      return false;
    });
    expect(await nearest(decision, cube, never)).toBeNull();
    expect(asked).toBe(40);
  });

  it('drills straight in where the way or the depth is what is wrong', async () => {
    const wrong = vent([0, 0, 12], 4, { toward: [0, 0, 1], depth: 60 });
    expect(await nearest(wrong, cube)).toEqual({ decision: vent([0, 0, 12], 4), movedMm: 0 });
    // A hollow of 0.8 mm takes no usual depth.
    const slab = openable(box([30, 30, 3.8]), 1.5);
    const { decision } = (await nearest(vent([0, 0, 1.9], 3), slab))!;
    expect(decision.depth).toBeGreaterThan(1.5);
    expect(decision.depth).toBeLessThan(2.3);
  });

  it('is none where the part is too slim for the width', async () => {
    expect(await nearest(vent([5, 0, 0], 9), openable(cylinder(5, 40), 1.5))).toBeNull();
  });

  it('is the same each time', async () => {
    const decision = vent([11.5, -12, 11], 5);
    expect(await nearest(decision, cube)).toEqual(await nearest(decision, cube));
  });
});

describe('room for a mouth', () => {
  const at = (part: OpenablePart, decision: OpeningDecision): boolean => {
    const { placed, facing } = placeOpening(decision, part);
    return hasMouthRoom(placed!, facing!, part.outer);
  };
  const block = openable(box([24, 24, 24]), null);
  it.each([
    [[0, 0, 12], true],
    [[9.4, 0, 12], true],
    [[9.6, 0, 12], false],
    [[12, 0, 12], false],
  ] as const)('on a cube at %j with 4 mm: %s', (point, roomy) => {
    expect(at(block, vent(point, 4))).toBe(roomy);
  });

  /** On a block, 20 mm wide and 10 high, another one of that width stands over it. */
  const under = (width: number, gap: number): OpenablePart => {
    const upper = transformed(box([width, width, 10]), { shift: [0, 0, 10 + gap] });
    return openable(join(box([20, 20, 10]), upper), null);
  };
  it.each([
    [20, 2.5, true],
    [20, 1.2, false],
    // A pin before its middle only.
    [0.4, 1.2, true],
    [0.4, 0.8, false],
  ])('with a block of %f mm before it at %f mm: %s', (width, gap, roomy) => {
    expect(at(under(width, gap), vent([0, 0, 5], 4))).toBe(roomy);
  });

  it.each([
    [1.6, true],
    [1.4, false],
  ])('over a plate %f mm below: %s', (gap, roomy) => {
    const outer = buildSurfaceIndex(transformed(box([20, 20, 10]), { shift: [0, 0, 5 + gap] }));
    expect(hasMouthRoom({ mouth: [0, 0, gap], radius: 2 }, [0, 0, -1], outer)).toBe(roomy);
  });
});

it('places on a surface: one for each cube, on it, the nearest first', () => {
  const index = buildSurfaceIndex(sphere(10, 48));
  const from: Vec3 = [10, 0, 0];
  const places = surfacePlaces(index, from, 2, 8, 1);
  for (const { at, awayMm } of places) {
    expect(awayMm).toBeCloseTo(norm(subtract(at, from)), 9);
    expect(awayMm).toBeGreaterThan(2);
    expect(awayMm).toBeLessThanOrEqual(8);
    expect(Math.abs(norm(at) - 10)).toBeLessThan(0.05);
  }
  expect(places.map(({ awayMm }) => awayMm)).toEqual(
    places.map(({ awayMm }) => awayMm).sort((a, b) => a - b),
  );
  // A sphere cut by a ball about a point of it of radius d has the area π·d²; a cube is passed by 1 to 2 mm² of it.
  const areaMm2 = Math.PI * (8 ** 2 - 2 ** 2);
  expect(places.length).toBeGreaterThan(areaMm2);
  expect(places.length).toBeLessThan(2.2 * areaMm2);
});
