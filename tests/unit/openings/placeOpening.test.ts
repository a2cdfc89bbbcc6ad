import { describe, expect, test } from 'vitest';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import type { OpeningDecision, OpeningFacts } from '../../../src/core/openings/opening.ts';
import { openingVerdicts } from '../../../src/core/openings/openingVerdicts.ts';
import { placeOpening } from '../../../src/core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';

interface Setting {
  readonly turn?: Vec3;
  readonly shift?: Vec3;
  readonly wallMm?: number | null;
}

/** Places an opening on `outer` hollowed by `cavity`, both given in source coordinates. */
function place(
  outer: Mesh,
  cavity: Mesh | null,
  decision: Partial<OpeningDecision>,
  setting: Setting = {},
): OpeningFacts {
  const { turn = [0, 0, 0], shift = [0, 0, 0], wallMm = 1.5 } = setting;
  const posed = (mesh: Mesh): Mesh => shapes.transformed(mesh, { turn, shift });
  return placeOpening(
    { id: 'vents/0', kind: 'vent', at: [0, 0, 0], diameter: 8, ...decision },
    {
      outer: buildSurfaceIndex(posed(outer)),
      cavity: cavity && buildSurfaceIndex(posed(cavity)),
      facetChamber: cavity && new Uint32Array(cavity.triangles.length / 3),
      wallMm,
      toPrint: (point) => shapes.turned(point, turn).map((c, axis) => c + shift[axis]!) as unknown as Vec3,
      directionToPrint: (direction) => shapes.turned(direction, turn),
    },
  );
}

const codes = (facts: OpeningFacts, hollow = true): string[] =>
  openingVerdicts(facts, hollow).map(({ code }) => code);
const cube = shapes.box(40);
const inside = shapes.box(37);

describe('placeOpening on a hollow cube', () => {
  test.each([[[0, 0, 0]], [[20, 30, 40]], [[90, 0, 180]]] as [Vec3][])(
    'turned by %s: every figure along the axis',
    (turn) => {
      const facts = place(cube, inside, { at: [3, -4, 21] }, { turn, shift: [100, 50, 30] });
      expect(facts.surfaceDistanceMm).toBeCloseTo(1, 3);
      const axis = shapes.turned([0, 0, -1], turn);
      for (let c = 0; c < 3; c++) expect(facts.placed!.axis[c]).toBeCloseTo(axis[c]!, 5);
      expect(facts.placed!.depth).toBe(4);
      expect(facts.placed!.outward).toBeLessThan(0.06);
      expect(facts.chamber).toBe(0);
      expect(facts.chamberDepthMm).toBeCloseTo(1.5, 3);
      expect(facts.farWallDepthMm).toBeCloseTo(38.5, 3);
      expect(facts.farSideDepthMm).toBeCloseTo(40, 3);
      expect(facts.sideClearanceMm).toBeCloseTo(14.5, 3);
      expect(codes(facts)).toEqual([]);
    },
  );

  test('2 mm from the surface is on it, beyond is not', () => {
    expect(codes(place(cube, inside, { at: [0, 0, 21.99] }))).toEqual([]);
    const facts = place(cube, inside, { at: [0, 0, 22.5] });
    expect(openingVerdicts(facts, true)).toEqual([{ code: 'opening-off-surface', measured: 2.5, limit: 2 }]);
    expect(codes(place(cube, inside, { at: [Number.NaN, 0, 0] }))).toEqual(['opening-off-surface']);
  });

  test('too short, too deep, too near the side', () => {
    const short = place(cube, inside, { at: [0, 0, 20], depth: 1.2 });
    expect(openingVerdicts(short, true)).toEqual([
      { code: 'opening-misses-chamber', measured: 1.2, limit: expect.closeTo(1.5, 4) },
    ]);
    const deep = place(cube, inside, { at: [0, 0, 20], depth: 39 });
    expect(openingVerdicts(deep, true)).toEqual([
      { code: 'opening-through', measured: 39, limit: expect.closeTo(38.5, 4) },
    ]);
    const near = place(cube, inside, { at: [16, 0, 20] });
    expect(openingVerdicts(near, true)).toEqual([
      { code: 'opening-near-wall', measured: expect.closeTo(2.5, 4), limit: 4 },
    ]);
    expect(codes(place(cube, inside, { at: [14.4, 0, 20] }))).toEqual([]);
  });

  test('toward: a slanting bore starts its chamber deeper', () => {
    const facts = place(cube, inside, {
      at: [0, 0, 20],
      toward: [0, Math.sin(Math.PI / 6), -Math.cos(Math.PI / 6)],
    });
    expect(facts.chamberDepthMm).toBeCloseTo(1.5 / Math.cos(Math.PI / 6), 4);
    // The mouth's rim stands r·tan 30° above its middle.
    expect(facts.placed!.outward).toBeCloseTo(4 * Math.tan(Math.PI / 6), 0);
    const outward = place(cube, inside, { at: [0, 0, 20], toward: [0, 0, 1] });
    expect(codes(outward)).toContain('opening-misses-chamber');
  });

  test('the default depth grows with the way through the wall, and is capped for a grazing one', () => {
    const leaning = (degrees: number) => {
      const turn = (degrees * Math.PI) / 180;
      const toward: Vec3 = [0, Math.sin(turn), -Math.cos(turn)];
      return place(cube, inside, { at: [0, 0, 20], toward }).placed!.depth;
    };
    expect(leaning(0)).toBeCloseTo(4, 5);
    expect(leaning(60)).toBeCloseTo(1.5 / 0.5 + 2.5, 4);
    expect(leaning(85)).toBeCloseTo(1.5 / Math.cos((75 * Math.PI) / 180) + 2.5, 4);
    expect(place(cube, inside, { at: [0, 0, 20] }).placed!.depth).toBe(4);
  });

  test('a bore whose axis passes its chamber opens it when its rim reaches it', () => {
    // The chamber's side stands at x = 18.5; the axis runs at 19.2 and the rim from 16.
    const slip = (diameter: number, depth = 4) => place(cube, inside, { at: [19.2, 0, 20], diameter, depth });
    const facts = slip(6.4);
    expect(facts.chamber).toBe(0);
    expect(facts.chamberDepthMm).toBeCloseTo(1.5, 4);
    expect(facts.farWallDepthMm).toBeCloseTo(38.5, 3);
    expect(codes(facts)).toEqual(['opening-near-wall']);
    expect(slip(1.2).chamber).toBeNull();
    expect(slip(6.4, 1.4).chamber).toBeNull();
  });

  test('a point off the surface keeps its place in the print frame', () => {
    const facts = place(cube, inside, { at: [0, 0, 30] }, { turn: [90, 0, 0], shift: [1, 2, 3] });
    expect(facts.placed).toBeNull();
    for (const [c, value] of [1, -28, 3].entries()) expect(facts.asked[c]).toBeCloseTo(value, 4);
  });

  test('near a corner the axis is the face it lies on, not the one round the corner', () => {
    const facts = place(cube, inside, { at: [19, 19, 20] });
    expect(facts.placed!.axis[2]).toBeCloseTo(-1, 5);
  });
});

describe('placeOpening elsewhere', () => {
  test('a sphere: axis to the centre, outward just the sagitta of the mouth', () => {
    const sphere = shapes.icosphere(20, 6);
    const facts = place(sphere, shapes.icosphere(18.5, 6), { at: [12, 0, 16], diameter: 10 });
    for (const [c, value] of [-0.6, 0, -0.8].entries()) expect(facts.placed!.axis[c]).toBeCloseTo(value, 2);
    expect(facts.chamberDepthMm).toBeCloseTo(1.5, 2);
    expect(facts.farSideDepthMm).toBeCloseTo(40, 1);
    // A mouth bulges towards its middle, so nothing stands above it.
    expect(facts.placed!.outward).toBeLessThan(0.07);
    expect(facts.sideClearanceMm!).toBeGreaterThan(5);
    expect(codes(facts)).toEqual([]);
  });

  test('inside a sculpted bowl the rim of the mouth stands above its middle by r²/2R', () => {
    const bowl = shapes.reversed(shapes.icosphere(20, 6));
    const facts = place(bowl, null, { at: [0, 0, -20], diameter: 10 }, { wallMm: null });
    expect(facts.placed!.axis[2]).toBeCloseTo(-1, 2);
    expect(facts.placed!.outward).toBeCloseTo(20 - Math.sqrt(400 - 25) + 0.05, 1);
  });

  test('the cutter stops short of a surface that hangs over the mouth', () => {
    const bowl = shapes.reversed(shapes.icosphere(20, 5));
    const lid = shapes.transformed(shapes.box([2, 2, 2]), { shift: [0, 0, -20 + 0.3 + 1] });
    const facts = place(shapes.join(bowl, lid), null, { at: [0, 0, -20], diameter: 10 }, { wallMm: null });
    expect(facts.placed!.outward).toBeLessThan(0.3);
  });

  test('a solid part: 4 mm deep, through when thinner', () => {
    const plate = shapes.box([40, 40, 3]);
    const facts = place(plate, null, { at: [0, 0, 1.5] }, { wallMm: null });
    expect(facts.placed!.depth).toBe(4);
    expect(openingVerdicts(facts, false)).toEqual([
      { code: 'opening-through', measured: 4, limit: expect.closeTo(3, 4) },
    ]);
  });
});

test('a cutter has the volume of its round cylinder and is closed', () => {
  for (const radius of [0.5, 1, 7.5]) {
    const mesh = cutterMesh({
      id: 'vents/0',
      kind: 'vent',
      mouth: [1, 2, 3],
      axis: [0.48, 0.6, 0.64],
      radius,
      depth: 4,
      outward: 0.5,
    });
    expect(shapes.volumeOf(mesh) / (Math.PI * radius ** 2 * 4.5)).toBeCloseTo(1, 4);
  }
});
