import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { extremePoints } from '../../../src/core/pose/extremePoints.ts';
import { facingAreas, overhangArea } from '../../../src/core/pose/facingAreas.ts';
import { measurePose, type PoseSetting } from '../../../src/core/pose/measurePose.ts';
import type { PoseOpening } from '../../../src/core/pose/openingsAway.ts';
import type { PoseFigures } from '../../../src/core/pose/poseFigures.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';

const setting: PoseSetting = {
  room: [192, 120, 200],
  raiseMm: 0,
  supports: { raiseMm: 3.2, reachMm: 8.5, holdN: 0.1 },
  layerMm: 0.05,
  layers: { selfSupportDeg: 19, ceilingMm2: 100, ceilingSpanMm: 5 },
  peel: 10,
  stepMm: 1,
};

function posed(
  skin: Mesh,
  tilt: readonly [number, number],
  cavity: Mesh | null = null,
  change: Partial<PoseSetting> = {},
  openings: readonly PoseOpening[] = [],
): PoseFigures {
  const facing = facingAreas([{ mesh: skin }, ...(cavity === null ? [] : [{ mesh: cavity, inward: true }])]);
  const subject = { skin, cavity, hull: extremePoints(skin.positions), facing, shown: null, openings };
  return measurePose(subject, tilt, { ...setting, ...change }, uninterrupted);
}

const at = (mesh: Mesh, shift: Vec3): Mesh => shapes.transformed(mesh, { shift });
const legs = [-27, 27].flatMap((x) => [-17, 17].map((y) => at(shapes.box([6, 6, 30]), [x, y, 0])));
/** A top of 60 × 40 × 4 mm on four legs of 6 × 6 mm, 33 mm tall in all. */
const table = shapes.join(at(shapes.box([60, 40, 4]), [0, 0, 16]), ...legs);

const mushroomOf = (underMm: number) =>
  shapes.join(
    at(shapes.box([60, 40, 4]), [0, 0, underMm + 2]),
    at(shapes.box([10, 10, underMm + 1]), [0, 0, (underMm + 1) / 2]),
  );

describe('overhangArea', () => {
  const down = (mesh: Mesh, inward: boolean, degrees: number): number =>
    overhangArea(facingAreas([{ mesh, inward }]), [0, 0, 1], degrees);

  test('a cube: its lower face; as a hollow: its ceiling, which is as large', () => {
    expect(down(shapes.box(40), false, 19)).toBeCloseTo(1600, 3);
    expect(down(shapes.box(40), true, 19)).toBeCloseTo(1600, 3);
    expect(down(shapes.cone(10, 20), true, 19)).toBeCloseTo(0, 3);
  });

  test.each([19, 45])('a sphere: the cap within %s° of straight down, 2πR²(1 − cos)', (degrees) => {
    const cap = 2 * Math.PI * 400 * (1 - Math.cos((degrees * Math.PI) / 180));
    expect(down(shapes.icosphere(20, 6), false, degrees) / cap).toBeCloseTo(1, 1);
  });
});

describe('measurePose', () => {
  test('a table on its legs: the top comes at once, nothing starts in air', () => {
    // A plate that holds well, so that it stands.
    const holding = { ...setting.supports, holdN: 1 };
    const figures = posed(table, [0, 0], null, { supports: holding });
    expect(figures.turn).toEqual([0, 0, 0]);
    expect(figures.raiseMm).toBe(0);
    expect(figures.heightMm).toBeCloseTo(33, 3);
    expect(figures.islands).toBe(0);
    expect(figures.peakPullN).toBeCloseTo(24, 1);
    expect(figures.jumpN).toBeCloseTo(0.01 * (2400 - 144), 1);
    // The top's underside, where the legs stand in it too; the legs' own ends stand on the plate.
    expect(figures.overhangMm2).toBeCloseTo(2400, 0);
  });

  test('raised, its four feet start in air', () => {
    const figures = posed(table, [0, 0], null, { raiseMm: 5 });
    expect(figures.islands).toBe(4);
    expect(figures.heightMm).toBeCloseTo(38, 3);
    expect(figures.overhangMm2).toBeCloseTo(2400 + 144, 0);
  });

  test('what the plate cannot hold by itself gets room for raft and tips, and its feet start in air', () => {
    // Legs of 144 mm² hold 14.4 N of the 24 N that the top pulls.
    const figures = posed(table, [0, 0]);
    expect(figures).toMatchObject({ raiseMm: 3.2, islands: 4 });
    expect(figures.heightMm).toBeCloseTo(36.2, 3);
    expect(figures.overhangMm2).toBeCloseTo(2400 + 144, 0);
    const justHolds = { ...setting.supports, holdN: 24 / 144 + 1e-3 };
    expect(posed(table, [0, 0], null, { supports: justHolds }).raiseMm).toBe(0);
    // A pose on an edge has no contact at all; one that is raised far enough stays as it is.
    expect(posed(table, [30, 0], null, { supports: justHolds }).raiseMm).toBe(3.2);
    expect(posed(table, [30, 0], null, { raiseMm: 5 }).raiseMm).toBe(5);
    expect(posed(table, [0, 0], null, { raiseMm: 1 }).raiseMm).toBe(3.2);
  });

  test('the raise is taken off the height of the machine', () => {
    const low = { room: [192, 120, 36] as const };
    expect(posed(table, [0, 0], null, low).fit).toMatchObject({ fits: false, fitsBare: false });
    expect(posed(table, [0, 0], null, { room: [192, 120, 36.3] }).fit.fits).toBe(true);
  });

  test('feet reach out under what hangs at the rim, and not beside what carries itself', () => {
    // A mushroom, raised by 3.2 mm: a stem under a plate of 60 × 40 mm, so low that no strut may lean; upside down its plate stands.
    const mushroom = mushroomOf(0.8);
    const up = posed(mushroom, [0, 0]);
    expect(up.fit.heldMm[0]).toBeCloseTo(60 + 17, 3);
    expect(up.fit.heldMm[1]).toBeCloseTo(40 + 17, 3);
    const down = posed(mushroom, [180, 0]);
    expect(down.raiseMm).toBe(0);
    expect(down.fit.heldMm[0]).toBeCloseTo(60, 3);
    // From under a plate that hangs higher a strut leans in by 45°, from below its tip to over the plate.
    const high = posed(mushroomOf(10.8), [0, 0]).fit.heldMm;
    const left = 1 - (14 - 4) / Math.hypot(30, 20);
    expect(high[0]).toBeCloseTo(2 * (30 * left + 8.5), 1);
    expect(high[1]).toBeCloseTo(2 * (20 * left + 8.5), 1);
    // Its edge fits a plate of 70 mm, its feet do not.
    const tight = posed(mushroom, [0, 0], null, { room: [70, 70, 200] });
    expect(tight.fit).toMatchObject({ fits: false, fitsBare: true, short: 0 });
  });

  test('what lay on the plate is held once it is raised', () => {
    const slab = shapes.box([60, 40, 10]);
    expect(posed(slab, [0, 0]).fit.heldMm).toEqual([60, 40]);
    expect(posed(slab, [0, 0], null, { raiseMm: 4 }).fit.heldMm).toEqual([77, 57]);
  });

  test('a start too steep to be overhang still has its foot', () => {
    const { fit, islands } = posed(shapes.cone(4, 40), [180, 0]);
    expect(islands).toBe(1);
    // 8 mm wide, and 8.5 mm round its tip.
    expect(fit.heldMm[0]).toBeCloseTo(17, 0);
  });

  test('vents weigh by their height over the plate end of the hollow, drains by their depth under its film end', () => {
    const hollow = extremePoints(shapes.box([20, 20, 60]).positions);
    const opening = (z: number, end: PoseOpening['end']): PoseOpening => ({ at: [11, 0, z], end, hollow });
    const away = (turn: readonly [number, number], ...openings: PoseOpening[]) =>
      posed(shapes.box([24, 24, 64]), turn, null, {}, openings).openingsMm;
    expect(away([0, 0])).toBe(0);
    expect(away([0, 0], opening(-25, 'plate'))).toBeCloseTo(5, 3);
    expect(away([180, 0], opening(-25, 'plate'))).toBeCloseTo(55, 3);
    expect(away([0, 0], opening(-25, 'film'))).toBeCloseTo(55, 3);
    expect(away([0, 0], opening(-25, 'plate'), opening(28, 'film'))).toBeCloseTo(3.5, 3);
    // Turned so that the side with the vent lies below.
    expect(away([0, 90], opening(-25, 'plate'))).toBeCloseTo(0, 3);
    expect(away([0, -90], opening(-25, 'plate'))).toBeCloseTo(21, 3);
  });

  test.each([0.25, 0.5, 1])('a rise is that of a millimetre, on a grid of %s mm too', (stepMm) => {
    // A wedge of 60 mm whose lower face rises by 1 in 2: each millimetre adds 2 × 40 mm².
    const wedge = shapes.meshOf(
      [-30, -20, 0, -30, 20, 0, -30, -20, 30, -30, 20, 30, 30, -20, 30, 30, 20, 30],
      [0, 2, 1, 1, 2, 3, 2, 4, 3, 3, 4, 5, 0, 1, 4, 1, 5, 4, 0, 4, 2, 1, 3, 5],
    );
    expect(shapes.volumeOf(wedge)).toBeCloseTo((60 * 30 * 40) / 2, 3);
    expect(posed(wedge, [0, 0], null, { raiseMm: 5, stepMm }).jumpN).toBeCloseTo(0.01 * 80, 2);
  });

  test('upside down: the whole top in the first layer', () => {
    const figures = posed(table, [180, 0]);
    expect(figures.islands).toBe(0);
    expect(figures.jumpN).toBeCloseTo(24, 1);
  });

  test('a beaker is a cup when it opens to the film, and none when it opens to the air under it', () => {
    const beaker = shapes.cup(20, 18, 40, 2);
    expect(posed(beaker, [0, 0]).cups).toBe(1);
    expect(posed(beaker, [180, 0], null, { raiseMm: 5 }).cups).toBe(0);
    // Flat on the plate its rim is closed by it.
    expect(posed(beaker, [180, 0]).cups).toBe(1);
  });

  test('a hollow block: one cup with a flat floor, which a tilt takes away', () => {
    const block = shapes.box([60, 40, 30]);
    const room = shapes.box([57, 37, 27]);
    const flat = posed(block, [0, 0], room);
    expect(flat).toMatchObject({ cups: 1, islands: 0 });
    expect(flat.floorMm2 / (57 * 37)).toBeCloseTo(1, 1);
    const tilted = posed(block, [30, 0], room);
    expect(tilted.cups).toBe(1);
    // 57 mm wide, and as deep as one millimetre of height is long on two slopes at most.
    expect(tilted.floorMm2).toBeLessThan(57 * (1 / Math.sin(Math.PI / 6) + 1 / Math.cos(Math.PI / 6)) * 1.2);
    expect(tilted.overhangMm2).toBe(0);
  });

  test('what is hollow pulls with its walls alone', () => {
    const walls = posed(shapes.box([60, 40, 30]), [0, 0], shapes.box([57, 37, 40]));
    expect(walls.peakPullN).toBeCloseTo(0.01 * (60 * 40 - 57 * 37), 1);
  });

  test('two hollows are two cups; solid that hangs into a hollow starts in air there', () => {
    const block = shapes.box([80, 40, 40]);
    const two = shapes.join(at(shapes.box(30), [-20, 0, 0]), at(shapes.box(30), [20, 0, 0]));
    expect(posed(block, [0, 0], two)).toMatchObject({ cups: 2, islands: 0 });
    // A block of 10 mm from the ceiling down to the middle of a hollow: seen as the hollow's own void.
    const hung = shapes.join(shapes.box(30), shapes.reversed(at(shapes.box([10, 10, 15.01]), [0, 0, 7.49])));
    expect(posed(block, [0, 0], hung).islands).toBe(1);
    expect(posed(block, [180, 0], hung).islands).toBe(0);
  });
});
