import { describe, expect, test } from 'vitest';
import type { CupState, CupTrack } from '../../../src/core/layers/cupTrack.ts';
import { computePartLoads, type PartLoadsInput } from '../../../src/core/physics/computePartLoads.ts';
import type { LoadOpening } from '../../../src/core/physics/printedOpening.ts';
import type { PosedPanel } from '../../../src/core/physics/wallLoads.ts';
import type { WallPanel } from '../../../src/core/walls/wallPanel.ts';

const h = 0.05;

/** Square, 80 mm, upright: from 10 to 90 mm over the plate, in the void of limb 0 from its first layer on. */
function posed(more: Partial<PosedPanel> = {}, shape: Partial<WallPanel> = {}): PosedPanel {
  const panel: WallPanel = {
    chamber: 0,
    shape: 'flat',
    spanMm: 80,
    lengthMm: 80,
    radiusMm: null,
    at: [0, 0, 0],
    outward: [1, 0, 0],
    extremes: [],
    ...shape,
  };
  return {
    panel,
    at: [40, 0, 50],
    outwardZ: 0,
    levelMm: 80,
    bottom: 10,
    top: 90,
    limbs: [{ layer: [200], limb: [0] }],
    ...more,
  };
}

/** A hole of 2 mm through a wall of 1.5 mm, deep in resin. */
const hole = (diameter: number, z = 11.5, bore = 1.5): LoadOpening => ({
  chamber: 0,
  chamberDepthMm: bore,
  placed: {
    id: 'vents/0',
    kind: 'vent',
    mouth: [40, 0, z],
    axis: [-1, 0, 0],
    radius: diameter / 2,
    depth: 4,
    outward: 0.1,
  },
});

function limb(number: number, first: number, last: number, areaMm2: number, open: boolean): CupState[] {
  return Array.from({ length: last - first + 1 }, (_, n) => ({
    layer: first + n,
    limb: number,
    areaMm2,
    volumeMm3: areaMm2 * (h * (n + 1) + 5),
    floorLayer: first,
    floorAt: [0, 0, first * h],
    joined: open,
    openings: open ? [0] : [],
    sculptedMm2: 0,
  }));
}

const track = (...limbs: CupState[][]): CupTrack => {
  const states = limbs.flat().sort((a, b) => a.layer - b.layer);
  return {
    fromLayer: states[0]!.layer,
    toLayer: states.at(-1)!.layer,
    states,
    opensAfter: false,
    chamber: 0,
    at: [0, 0, 10],
  };
};

function walls(
  tracks: readonly CupTrack[],
  panels: readonly PosedPanel[],
  more: Partial<PartLoadsInput> = {},
) {
  return computePartLoads({
    layerHeight: h,
    areaMm2: new Float64Array(2400).fill(600),
    tracks,
    openings: [hole(2)],
    cutMm2: new Float64Array(2400),
    trappedMm3: [0],
    wallMm: 1.5,
    panels,
    curedMm3: 1e5,
    machine: {
      lift: { distance: 7, up: 60, down: 150, wait: 1.5, second: null },
      exposure: { base: 25, baseLayers: 5, normal: 2.5 },
      vat: 350,
      resinDepth: 300,
      leastResinDepth: 3,
    },
    film: { peel: 10 },
    resin: { density: 1.12, liquidDensity: 1.1, viscosity: 500, greenStrength: 15, greenModulus: 800 },
    limits: { suction: 20, breatheLayers: 10, wallFlex: 1, leastCup: 10, selfSupport: 30 },
    ...more,
  }).walls;
}

/** kPa through the hole of 2 mm: Poiseuille, Sampson, and inertia with 0.62, by hand. */
function holeKpa(areaMm2: number): number {
  const flow = areaMm2 * 1e-6 * 1e-3;
  const viscous = 0.5 * flow * (3 / 1e-9 + (8 * 1.5e-3) / (Math.PI * 1e-12));
  return (viscous + 550 * (flow / (0.62 * Math.PI * 1e-6)) ** 2) / 1e3;
}

describe('walls under the suction of their limbs', () => {
  test('a wall printed long before feels what pulls a hundred layers over it', () => {
    const [wall] = walls([track(limb(0, 200, 1900, 400, true), limb(0, 1901, 2300, 2000, true))], [posed()]);
    expect(wall!.layer).toBeGreaterThan(1900);
    expect(wall!.rising).toBe(false);
    // The squeeze over 45 mm is nothing.
    expect(Math.abs(wall!.pressureKpa / holeKpa(2000) - 1)).toBeLessThan(0.02);
    // Built-in square: 0.3078·p·b²/t² by linear theory; with the membrane's share it is less.
    expect(wall!.stressMpa).toBeLessThan((0.3078 * wall!.pressureKpa * 1e-3 * 6400) / 2.25);
    expect(wall!.vent).toBe('vents/0');
    expect(wall!.sealed).toBe(false);
  });

  test('the vent that is asked for reckons with the floor as it is, not with its mean depth', () => {
    // 0.3 mm deep on the mean, which would squeeze with 35 N whatever is drilled, but 25 mm and more at its lowest.
    const shallow = limb(0, 900, 1900, 2000, true).map((state) => ({
      ...state,
      floorLayer: 400,
      volumeMm3: 600,
    }));
    const known = { perSpeed: new Float64Array(shallow.length).fill(1), feeds: shallow.map(() => null) };
    const deepest = [posed({ limbs: [{ layer: [900], limb: [0] }], bottom: 10, top: 48 })];
    const [wall] = walls([track(shallow)], deepest, { squeezes: [known] });
    expect(wall!.strain).toBeGreaterThan(1);
    expect(wall!.ventMm).toBeGreaterThan(2);
    expect(walls([track(shallow)], deepest)[0]!.ventMm).toBeNull();
  });

  test('a limb that the wall does not belong to leaves it alone, sealed or pulling', () => {
    const own = limb(0, 200, 1800, 400, true);
    const alone = walls([track(own)], [posed()])[0]!;
    for (const open of [true, false]) {
      const other = walls([track(own, limb(77, 900, 1700, 6000, open))], [posed()])[0]!;
      expect(other).toEqual(alone);
    }
  });

  test('after the limbs have met, the wall of the one that goes under feels the other', () => {
    const states = [limb(0, 200, 2000, 2000, true), limb(77, 300, 800, 10, true)];
    const joins = posed({ limbs: [{ layer: [300, 801], limb: [77, 0] }] });
    const never = posed({ limbs: [{ layer: [300], limb: [77] }] });
    expect(walls([track(...states)], [joins])[0]!.pressureKpa).toBeGreaterThan(0.95 * holeKpa(2000));
    expect(walls([track(...states)], [never])[0]?.pressureKpa ?? 0).toBeLessThan(0.2);
  });

  test('what a limb pulls while sealed is not held against a wall that it opens for; one never opened is told with the atmosphere', () => {
    const opened = walls(
      [track(limb(0, 200, 900, 400, false), limb(0, 901, 2000, 400, true))],
      [posed()],
    )[0]!;
    expect(opened.sealed).toBe(false);
    expect(opened.pressureKpa).toBeLessThan(1.5 * holeKpa(400));
    const sealed = walls([track(limb(0, 200, 2000, 400, false))], [posed()])[0]!;
    expect(sealed.sealed).toBe(true);
    expect(sealed.pressureKpa).toBeCloseTo(101.325, 3);
    expect(sealed.ventMm).toBeNull();
  });

  test('the vent that is named keeps the wall within its limits, and one a little narrower does not', () => {
    const cups = [track(limb(0, 200, 2000, 3000, true))];
    const [wall] = walls(cups, [posed()]);
    expect(wall!.strain).toBeGreaterThan(1);
    const strainWith = (diameter: number): number =>
      walls(cups, [posed()], { openings: [hole(diameter, 10 + diameter)] })
        .map(({ strain }) => strain)
        .at(0) ?? 0;
    // Its mouth is printed within the first millimetres, where the wall hardly stands yet.
    expect(strainWith(1.02 * wall!.ventMm!)).toBeLessThan(1);
    expect(strainWith(0.9 * wall!.ventMm!)).toBeGreaterThan(1);
  });

  test('no vent is named where the squeeze alone is more than the wall bears', () => {
    const cups = [track(limb(0, 200, 2000, 3000, true))];
    // 0.5 Pa·s and 1 mm/s: 100 N over 3000 mm² are 33 kPa.
    const perSpeed = new Float64Array(1801).fill(100 / (0.5 * 1e-3));
    const squeezes = [{ perSpeed, feeds: Array<null>(1801).fill(null) }];
    const [wall] = walls(cups, [posed()], { squeezes, openings: [hole(15)] });
    expect(wall!.pressureKpa).toBeGreaterThan(33);
    expect(wall!.strain).toBeGreaterThan(1);
    expect(wall!.ventMm).toBeNull();
  });

  test('the wall that is named bears the suction through its longer hole, and is at most a fifth more than the least that does', () => {
    const cups = [track(limb(0, 200, 2000, 3000, true))];
    const [wall] = walls(cups, [posed()]);
    const needed = wall!.neededWallMm!;
    expect(wall!.bearsKpa).toBeLessThan(wall!.pressureKpa);
    const strainWith = (wallMm: number): number =>
      walls(cups, [posed()], { wallMm, openings: [hole(2, 11.5, wallMm)] })[0]!.strain;
    expect(strainWith(needed)).toBeLessThanOrEqual(1);
    // Entrance and inertia do not grow with the bore, so the bound lies up to a fifth over it.
    expect(strainWith(0.8 * needed)).toBeGreaterThan(1);
    expect(strainWith(1.5)).toBeGreaterThan(1);
  });

  test('walls that face the plate are held; a curved wall waits until it is printed', () => {
    const cups = [track(limb(0, 200, 1500, 3000, true))];
    const floor = { bottom: 10, top: 10 };
    expect(walls(cups, [posed({ ...floor, outwardZ: -1 })])).toEqual([]);
    // Steeper than 30° over the plate nothing holds it.
    expect(walls(cups, [posed({ ...floor, outwardZ: -0.85 })])[0]!.pressureKpa).toBeGreaterThan(1);
    const tube = { shape: 'tube', radiusMm: 40, spanMm: 60 } as const;
    expect(walls(cups, [posed({ top: 200 }, tube)])).toEqual([]);
    expect(walls(cups, [posed({ top: 60 }, tube)])[0]).toMatchObject({ passes: 'buckling', rising: false });
  });

  test('a flat roof takes the film’s peel, a wall on edge does not', () => {
    const roof = posed({ outwardZ: 1, bottom: 100, top: 100, limbs: [] });
    const [peeled] = walls([], [roof]);
    expect(peeled).toMatchObject({ load: 'peel', pressureKpa: 10, layer: 2029, ventMm: null, vent: null });
    expect(walls([], [posed({ limbs: [] })])).toEqual([]);
  });
});
