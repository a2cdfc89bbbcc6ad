import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CupState, CupTrack } from '../../../src/core/layers/cupTrack.ts';
import { computePartLoads, type PartLoadsInput } from '../../../src/core/physics/computePartLoads.ts';
import { constants, loadAssumptions } from '../../../src/core/physics/constants.ts';
import type { LoadOpening } from '../../../src/core/physics/printedOpening.ts';

const h = 0.05;
const atmosphere = 101325;

/** A hollow of constant section over a flat floor, from `floor` on, `count` layers deep. */
interface Hollow {
  readonly areaMm2: number;
  readonly floor: number;
  readonly count: number;
  /** Each joins it from the first layer of its mouth on. */
  readonly openings?: readonly LoadOpening[];
  readonly chamber?: number | null;
}

function states(hollow: Hollow): CupState[] {
  return Array.from({ length: hollow.count }, (_, i) => {
    const layer = hollow.floor + i;
    const film = (layer + 1) * h;
    const open = (hollow.openings ?? []).flatMap((opening, index) =>
      film > firstEdge(opening) ? [index] : [],
    );
    return {
      layer,
      limb: 0,
      areaMm2: hollow.areaMm2,
      volumeMm3: hollow.areaMm2 * h * (i + 1),
      floorLayer: hollow.floor,
      floorAt: [0, 0, hollow.floor * h],
      joined: open.length > 0,
      openings: open,
      sculptedMm2: 0,
    };
  });
}

function firstEdge({ placed }: LoadOpening): number {
  return placed.mouth[2] - placed.radius * Math.sqrt(1 - placed.axis[2] ** 2);
}

function track(hollow: Hollow, more: readonly CupState[] = []): CupTrack {
  const all = [...states(hollow), ...more].sort((a, b) => a.layer - b.layer);
  return {
    fromLayer: hollow.floor,
    toLayer: all.at(-1)!.layer,
    states: all,
    opensAfter: false,
    chamber: hollow.chamber ?? null,
    at: [0, 0, hollow.floor * h],
  };
}

/** A vent through an upright wall, its centre `z` mm above the plate. */
function sideVent(z: number, diameter: number, id = 'vents/0', wall = 1.5): LoadOpening {
  return {
    chamber: 0,
    chamberDepthMm: wall,
    placed: {
      id,
      kind: 'vent',
      mouth: [50, 0, z],
      axis: [-1, 0, 0],
      radius: diameter / 2,
      depth: wall + 2.5,
      outward: 0.1,
    },
  };
}

/** A vent straight through the floor, from the plate's side. */
function floorVent(diameter: number, wall: number): LoadOpening {
  const side = sideVent(0, diameter, 'vents/0', wall);
  return { ...side, placed: { ...side.placed, mouth: [0, 0, 0], axis: [0, 0, 1] } };
}

function input(
  layers: number,
  tracks: readonly CupTrack[],
  more: Partial<PartLoadsInput> = {},
): PartLoadsInput {
  return {
    layerHeight: h,
    areaMm2: new Float64Array(layers).fill(600),
    tracks,
    openings: [],
    cutMm2: new Float64Array(layers),
    trappedMm3: [],
    wallMm: 1.5,
    curedMm3: 600 * h * layers,
    machine: {
      lift: { distance: 7, up: 60, down: 150, wait: 1.5, second: null },
      exposure: { base: 25, baseLayers: 5, normal: 2.5 },
      vat: 350,
      resinDepth: 15,
      leastResinDepth: 3,
    },
    film: { peel: 10 },
    resin: { density: 1.12, liquidDensity: 1.05, viscosity: 300, greenStrength: 15, greenModulus: 800 },
    limits: { suction: 20, breatheLayers: 10, wallFlex: 1, leastCup: 10, selfSupport: 30 },
    ...more,
  };
}

/** Pressure drop by hand (physics: Hagen–Poiseuille, Sampson 1891, orifice), SI. */
function dropByHand(d: number, area: number, length: number, flow: number, mu: number, rho: number): number {
  const r = d / 2;
  const perHole = flow / (area / (Math.PI * r * r));
  return (
    mu * perHole * (3 / r ** 3 + (8 * length) / (Math.PI * r ** 4)) + 0.5 * rho * (flow / (0.62 * area)) ** 2
  );
}

function squeezeByHand(area: number, depth: number): number {
  return (3 * 0.3 * 1e-3 * area * area) / (2 * Math.PI * depth ** 3);
}

describe('a sealed bucket of 100 cm²', () => {
  const loads = computePartLoads(input(400, [track({ areaMm2: 10_000, floor: 30, count: 300 })]));
  const cup = loads.cups[0]!;

  it('pulls one atmosphere over its area in every layer', () => {
    expect(cup.peakPullN).toBeCloseTo(1013.25, 6);
    expect([cup.fromLayer, cup.toLayer, cup.sealedLayers]).toEqual([30, 329, 300]);
    expect([cup.joinsLayer, cup.breathesLayer, cup.breather]).toEqual([null, null, null]);
    expect(cup.sealedLimbs[0]?.start).toEqual({ layer: 30, at: [0, 0, 1.5] });
    expect([cup.peakAreaMm2, cup.peakAreaLayer, cup.peakPullLayer]).toEqual([10_000, 30, 30]);
  });

  it('adds the peel of the wall: 10 kPa on 6 cm² is 6 N', () => {
    expect(loads.pullN[29]).toBeCloseTo(6, 9);
    expect(loads.pullN[30]).toBeCloseTo(1019.25, 6);
    expect(loads.pullN[330]).toBeCloseTo(6, 9);
    expect(loads.peakPullLayer).toBe(30);
    expect(loads.cupAreaMm2[29]).toBe(0);
    expect(loads.cupAreaMm2[329]).toBe(10_000);
  });

  it('lifts what rose above 15 mm of resin: all 15 mm of its depth when the print goes on long enough', () => {
    const long = computePartLoads(input(700, [track({ areaMm2: 10_000, floor: 30, count: 300 })]));
    expect(long.cups[0]!.heldMm3).toBeCloseTo(10_000 * 300 * h, 6);
    expect(long.heldMm3).toBeCloseTo(10_000 * 300 * h, 6);
    // At layer 399 the surface is 300 layers back: the void of layers 30 to 99 is above it.
    expect(cup.heldMm3).toBeCloseTo(10_000 * 70 * h, 6);
    const early = computePartLoads(input(340, [track({ areaMm2: 10_000, floor: 30, count: 310 })]));
    // With the cup still growing: layers 30 to 39.
    expect(early.heldMm3).toBeCloseTo(10_000 * 10 * h, 6);
  });

  it('that the sculpt opens after its last layer joins there, and holds resin until that hole is in air', () => {
    const vessel = { ...track({ areaMm2: 10_000, floor: 30, count: 300 }), opensAfter: true };
    const areaMm2 = new Float64Array(900).fill(60_000, 700, 720);
    const { machine } = input(900, []);
    const opened = computePartLoads(
      input(900, [vessel], { areaMm2, machine: { ...machine, vat: 151, leastResinDepth: 0 } }),
    );
    const { sealedLayers, joinsLayer, breathesLayer, breather, heldMm3 } = opened.cups[0]!;
    expect([sealedLayers, joinsLayer, breathesLayer, breather]).toEqual([300, 330, 330, 'mesh']);
    // The hole's edge, at 16.5 mm, is in air with the film above 31.5 mm: all 150 ml had risen just before.
    expect(heldMm3).toBeCloseTo(10_000 * 300 * h, 6);
    // The 64 ml that the part takes from layer 700 on do not come on top of them.
    expect(opened.vatLowLayer).toBeNull();
  });

  it('tells that squeeze flow alone keeps any vent from helping for its first 0.9 mm', () => {
    const layersOver = Math.floor(Math.cbrt(squeezeByHand(0.01, 1) / 20) / (h * 1e-3));
    const [stretch] = cup.stretches;
    expect(stretch!.squeezeFreeLayer).toBe(30 + layersOver);
    expect([stretch!.passesLayer, stretch!.layers, cup.stretches.length]).toEqual([30, 300, 1]);
    const depth = (layersOver + 1) * h * 1e-3;
    const ventMm = stretch!.ventMm!;
    const drop = dropByHand(ventMm / 1000, Math.PI * (ventMm / 2000) ** 2, 1.5e-3, 1e-5, 0.3, 1050);
    expect(drop * 0.01 + squeezeByHand(0.01, depth)).toBeCloseTo(20, 6);
  });
});

it('the pull of a layer is at most one atmosphere over what is parted', () => {
  const loads = computePartLoads(
    input(100, [track({ areaMm2: 10_000, floor: 30, count: 50 })], { film: { peel: 500 } }),
  );
  expect(loads.pullN[29]).toBeCloseTo(600e-6 * atmosphere, 9);
  expect(loads.pullN[30]).toBeCloseTo(10_600e-6 * atmosphere, 6);
});

describe('a chamber with one vent in its side', () => {
  // Floor at 3 mm; a 14 mm mouth whose first edge lies at 3.5 mm, centre 10.5, last edge 17.5.
  const vent = sideVent(10.5, 14);
  const chest = track({ areaMm2: 10_000, floor: 60, count: 600, openings: [vent], chamber: 0 });
  const part = input(700, [chest], { openings: [vent], trappedMm3: [1234] });
  const loads = computePartLoads(part);
  const cup = loads.cups[0]!;
  const suction = (layer: number) => loads.pullN[layer]! - 6;

  it('is sealed until the first layer of the mouth is printed', () => {
    expect(cup.sealedLayers).toBe(10);
    expect(cup.joinsLayer).toBe(70);
    expect(suction(69)).toBeCloseTo(1013.25, 6);
  });

  it('with half the mouth printed breathes through a half circle', () => {
    // Film at 10.5 mm while layer 209 is made: a depth of 7.5 mm.
    const area = (Math.PI * 0.007 ** 2) / 2;
    const diameter = (2 * Math.PI * 0.007) / (Math.PI + 2);
    const drop = dropByHand(diameter, area, 1.5e-3, 1e-5, 0.3, 1050);
    expect(suction(209)).toBeCloseTo(drop * 0.01 + squeezeByHand(0.01, 7.5e-3), 6);
  });

  it('with all of it printed through the circle, under 1 N', () => {
    const drop = dropByHand(0.014, Math.PI * 0.007 ** 2, 1.5e-3, 1e-5, 0.3, 1050);
    expect(suction(349)).toBeCloseTo(drop * 0.01 + squeezeByHand(0.01, 14.5e-3), 6);
    expect(suction(349)).toBeLessThan(1);
  });

  it('breathes air once its first edge is 15 mm above the film', () => {
    // Edge at 3.5 mm: in air from a film above 18.5 mm, layer 370 on.
    const drop = dropByHand(0.014, Math.PI * 0.007 ** 2, 1.5e-3, 1e-5, 1.81e-5, 1.204);
    expect(suction(369)).toBeGreaterThan(0.1);
    expect(suction(370)).toBeCloseTo(drop * 0.01 + squeezeByHand(0.01, 15.55e-3), 8);
    expect(suction(370)).toBeLessThan(0.01);
  });

  it('breathes when the suction stays under its limit, later than it joins', () => {
    const breathes = cup.breathesLayer!;
    expect(breathes).toBeGreaterThan(cup.joinsLayer!);
    expect(suction(breathes - 1)).toBeGreaterThan(20);
    for (let layer = breathes; layer <= cup.toLayer; layer++) expect(suction(layer)).toBeLessThanOrEqual(20);
    expect(cup.breather).toBe('vents/0');
    expect(loads.chamberOpenings).toEqual([['vents/0']]);
    expect(loads.trappedMm3).toEqual([1234]);
  });

  it('lifts resin only until the mouth is in air', () => {
    // Layer 369, the last before: the surface stands at 18.5 − 15 = 3.5 mm, the floor at 3 mm.
    expect(cup.heldMm3).toBeCloseTo(10_000 * 0.5, 6);
  });

  it('with a 2 mm mouth instead pulls like a sealed one as long as resin must pass it', () => {
    const small = sideVent(4.5, 2);
    const tight = computePartLoads({
      ...part,
      tracks: [track({ areaMm2: 10_000, floor: 60, count: 200, openings: [small] })],
      openings: [small],
    });
    const drop = dropByHand(0.002, Math.PI * 1e-6, 1.5e-3, 1e-5, 0.3, 1050);
    expect(tight.pullN[200]! - 6).toBeCloseTo(drop * 0.01 + squeezeByHand(0.01, 7.05e-3), 6);
    expect(tight.pullN[200]! - 6).toBeGreaterThan(100);
    expect(tight.cups[0]!.breathesLayer).toBeNull();
    expect(tight.cups[0]!.breather).toBeNull();
  });
});

describe('a lift in two stages', () => {
  const vent = floorVent(6, 1.5);
  const areaMm2 = 10_000;
  const cupWith = (up: number) => {
    const { machine } = input(1, []);
    const second = { distance: 3, up, down: 150 };
    return computePartLoads(
      input(700, [track({ areaMm2, floor: 30, count: 600, openings: [vent] })], {
        openings: [vent],
        machine: { ...machine, lift: { ...machine.lift, second } },
      }),
    );
  };
  const openings = (speed: number) =>
    dropByHand(0.006, Math.PI * 0.003 ** 2, 1.5e-3, areaMm2 * 1e-6 * speed, 0.3, 1050) * areaMm2 * 1e-6;

  it('counts the second where it is faster, with the first one’s distance added to the depth', () => {
    // 10 mm deep at layer 229, 7 mm risen.
    const squeeze = 3 * squeezeByHand(0.01, 17e-3);
    expect(cupWith(180).pullN[229]! - 6).toBeCloseTo(openings(3e-3) + squeeze, 6);
  });

  it('counts the first where the floor is shallow or the second is slower, and tells which', () => {
    // 0.3 mm deep: 530 N across it and 5 N through the vent, against 15 N and next to nothing in the second.
    const shallow = cupWith(180);
    expect(shallow.pullN[35]! - 6).toBeCloseTo(openings(1e-3) + squeezeByHand(0.01, 0.3e-3), 6);
    expect(shallow.cups[0]).toMatchObject({ liftStage: 1, limitedBy: 'squeeze' });
    expect(cupWith(30).pullN[229]! - 6).toBeCloseTo(openings(1e-3) + squeezeByHand(0.01, 10e-3), 6);
  });

  it('asks for a vent that does in both', () => {
    const ventMm = cupWith(180).cups[0]!.neededVentMm!;
    const area = Math.PI * (ventMm / 2000) ** 2;
    const drop = dropByHand(ventMm / 1000, area, 1.5e-3, 3e-5, 0.3, 1050);
    const first = dropByHand(ventMm / 1000, area, 1.5e-3, 1e-5, 0.3, 1050);
    const freeMm = Math.cbrt(squeezeByHand(0.01, 1e-3) / 20);
    const depth = (Math.floor(freeMm / h) + 1) * h * 1e-3;
    const worst = Math.max(
      drop * 0.01 + 3 * squeezeByHand(0.01, depth + 7e-3),
      first * 0.01 + squeezeByHand(0.01, depth),
    );
    expect(worst).toBeCloseTo(20, 6);
  });
});

it('a cup is told what holds its flow back at its peak', () => {
  const small = sideVent(4.5, 2);
  const cause = (openings: readonly LoadOpening[], floor: number) =>
    computePartLoads(input(400, [track({ areaMm2: 900, floor, count: 200, openings })], { openings }))
      .cups[0]!.limitedBy;
  expect(cause([], 60)).toBe('sealed');
  expect(cause([floorVent(15, 1.5)], 60)).toBe('squeeze');
  // Nothing is open until the film passes the mouth's first edge, half a millimetre above the floor.
  expect(cause([small], 60)).toBe('sealed');
});

describe('vents in other places', () => {
  it('one through the floor is whole from the hollow’s first layer, and squeeze flow is what is left', () => {
    const vent = floorVent(15, 1.5);
    const loads = computePartLoads(
      input(400, [track({ areaMm2: 10_000, floor: 30, count: 250, openings: [vent] })], { openings: [vent] }),
    );
    const cup = loads.cups[0]!;
    expect(cup.joinsLayer).toBe(30);
    expect(cup.sealedLayers).toBe(0);
    expect(cup.peakPullN).toBeCloseTo(1013.25, 6);
    expect(cup.squeezePullN).toBeCloseTo(1013.25, 6);
    const openings = dropByHand(0.015, Math.PI * 0.0075 ** 2, 1.5e-3, 1e-5, 0.3, 1050) * 0.01;
    expect(cup.stretches[0]!.openingsPullN).toBeCloseTo(openings, 9);
    expect(cup.breathesLayer).toBe(cup.stretches[0]!.squeezeFreeLayer);
    expect(cup.breathesLayer).toBe(30 + cup.stretches[0]!.layers);
  });

  it('of two, the one that carries more is the breather', () => {
    const openings = [sideVent(6, 5, 'vents/0'), sideVent(10, 14, 'drains/0')];
    const loads = computePartLoads(
      input(400, [track({ areaMm2: 5_000, floor: 60, count: 300, openings })], {
        openings,
        limits: { suction: 2, breatheLayers: 10, wallFlex: 1, leastCup: 10, selfSupport: 30 },
      }),
    );
    expect(loads.cups[0]!.breather).toBe('drains/0');
  });

  it('a hole of the sculpt counts as a round opening of its area, `mesh`', () => {
    const sealed = track({ areaMm2: 2_000, floor: 60, count: 200 });
    const open = { ...sealed, states: sealed.states.map((s) => ({ ...s, joined: true, sculptedMm2: 50 })) };
    const loads = computePartLoads(input(400, [open]));
    const diameter = Math.sqrt((4 * 50e-6) / Math.PI);
    const drop = dropByHand(diameter, 50e-6, 1.5e-3, 2e-6, 0.3, 1050);
    expect(loads.pullN[159]! - 6).toBeCloseTo(drop * 0.002 + squeezeByHand(0.00195, 5e-3), 8);
    expect(loads.cups[0]!.breather).toBe('mesh');
  });

  it('a sleeve open towards the plate has no floor to squeeze resin over, and holds none', () => {
    const sealed = track({ areaMm2: 2_000, floor: 100, count: 700 });
    const sleeve = {
      ...sealed,
      states: sealed.states.map((s) => ({ ...s, joined: true, sculptedMm2: 2_000 })),
    };
    const cup = computePartLoads(input(1200, [sleeve])).cups[0]!;
    expect(cup.peakPullN).toBeLessThan(0.1);
    expect(cup.breathesLayer).toBe(100);
    expect(cup.heldMm3).toBe(0);
  });
});

describe('limbs that meet', () => {
  const limb: Hollow = { areaMm2: 400, floor: 40, count: 100 };
  const other = states({ areaMm2: 300, floor: 60, count: 80 });

  it('pull together, and are sealed while one of them is', () => {
    const joined = states(limb).map((s) => ({ ...s, joined: true, sculptedMm2: 400 }));
    const both: CupTrack = {
      ...track(limb),
      states: [...joined, ...other].sort((a, b) => a.layer - b.layer),
    };
    const cup = computePartLoads(input(200, [both])).cups[0]!;
    expect(cup.peakAreaMm2).toBe(700);
    expect(cup.joinsLayer).toBe(40);
    expect(cup.sealedLayers).toBe(80);
    expect(cup.sealedLimbs[0]?.start).toEqual({ layer: 60, at: [0, 0, 3] });
    expect(cup.breathesLayer).toBeNull();
    expect(cup.peakPullN).toBeGreaterThan(300e-6 * atmosphere);
    expect(cup.peakPullN).toBeLessThan(300e-6 * atmosphere + 0.1);
  });

  it('breathe each through its own hole of the sculpt: a late one is not in air with the first', () => {
    const open = (s: CupState): CupState => ({ ...s, joined: true, sculptedMm2: 20 });
    // At layer 345 the early hole, at 2 mm, is in air (film 17.3 mm); the late one, at 10 mm, is not.
    const early = states({ areaMm2: 400, floor: 40, count: 350 }).map(open);
    const late = states({ areaMm2: 300, floor: 200, count: 190 }).map(open);
    const both = {
      ...track(limb),
      toLayer: 389,
      states: [...early, ...late].sort((a, b) => a.layer - b.layer),
    };
    const pull = computePartLoads(input(400, [both])).pullN[345]! - 6;
    const diameter = Math.sqrt((4 * 20e-6) / Math.PI);
    const inResin = dropByHand(diameter, 20e-6, 1.5e-3, 3e-7, 0.3, 1050) * 3e-4;
    const inAir = dropByHand(diameter, 20e-6, 1.5e-3, 4e-7, 1.81e-5, 1.204) * 4e-4;
    const squeezes = squeezeByHand(380e-6, 306 * h * 1e-3) + squeezeByHand(280e-6, 146 * h * 1e-3);
    expect(pull).toBeCloseTo(inResin + inAir + squeezes, 9);
  });

  describe('are over the limit each for itself', () => {
    const open = (s: CupState): CupState => ({ ...s, joined: true, sculptedMm2: 60 });
    const moved = (s: CupState): CupState => ({ ...s, floorAt: [30, 0, s.floorLayer * h] });
    const early = states({ areaMm2: 2000, floor: 40, count: 1000 }).map(open);
    const late = states({ areaMm2: 3000, floor: 900, count: 140 }).map(open).map(moved);
    const cupOf = (all: readonly CupState[]) =>
      computePartLoads(
        input(2000, [{ ...track(limb), toLayer: 1039, states: [...all].sort((a, b) => a.layer - b.layer) }]),
      ).cups[0]!;
    /** Layers for which the squeeze alone is above 20 N. */
    const shallow = (areaMm2: number) =>
      Math.floor(Math.cbrt(squeezeByHand((areaMm2 - 60) * 1e-6, 1) / 20) / (h * 1e-3));

    it('a later limb with a flat floor does not make the first one late', () => {
      const cup = cupOf([...early, ...late]);
      const [first, second] = cup.stretches;
      expect(cup.stretches).toHaveLength(2);
      expect([first!.start.layer, first!.passesLayer]).toEqual([40, 40]);
      expect(second!.start).toEqual({ layer: 900, at: [30, 0, 45] });
      expect(second!.passesLayer).toBe(900);
      expect(Math.abs(first!.layers - shallow(2000))).toBeLessThanOrEqual(1);
      expect(Math.abs(second!.layers - shallow(3000))).toBeLessThanOrEqual(1);
      expect(cup.breathesLayer).toBe(900 + second!.layers);
      expect(second!.peakPullN).toBeGreaterThan(first!.peakPullN);
    });

    it('a limb that is above it when it meets another hands its stretch on to what goes on', () => {
      const met = early.map((s) => (s.layer < 905 ? s : { ...s, areaMm2: 20_000, joined: false }));
      const cup = cupOf([...met, ...late.filter(({ layer }) => layer < 905)]);
      const first = cupOf(early).stretches[0]!.layers;
      const told = cup.stretches.map(({ start, passesLayer, layers }) => [start.layer, passesLayer, layers]);
      expect(told).toEqual([
        [40, 40, first],
        [900, 900, 140],
      ]);
    });

    it('a dip of up to ten layers does not end a stretch, a longer one does', () => {
      const dipped = (length: number) =>
        cupOf(
          early.map((s) => {
            const isDip = s.layer >= 500 && s.layer < 500 + length;
            return s.layer < 480 || s.layer >= 520 || isDip ? s : { ...s, joined: false };
          }),
        ).stretches[0]!;
      expect([dipped(10).passesLayer, dipped(10).layers]).toEqual([480, 40]);
      expect([dipped(11).passesLayer, dipped(11).layers]).toEqual([480, 20]);
    });

    it('limbs that are above it only together are told by the one that pulls most', () => {
      const sealed = states({ areaMm2: 110, floor: 60, count: 30 });
      const cup = cupOf([...states({ areaMm2: 120, floor: 40, count: 60 }), ...sealed.map(moved)]);
      expect(cup.stretches).toHaveLength(1);
      expect(cup.stretches[0]).toMatchObject({ start: { layer: 40 }, passesLayer: 60, layers: 30 });
    });
  });

  it('are sealed whatever touches them as long as nothing joins the outside', () => {
    const openings = [sideVent(3, 2)];
    const touched = states(limb).map((s) => ({ ...s, openings: [0] }));
    const loads = computePartLoads(input(200, [{ ...track(limb), states: touched }], { openings }));
    expect(loads.cups[0]!.sealedLayers).toBe(100);
    expect(loads.pullN[139]! - 6).toBeCloseTo(400e-6 * atmosphere, 9);
  });
});

describe('amounts', () => {
  it('cut area, mass, liquid and hours', () => {
    const cutMm2 = new Float64Array(4000);
    cutMm2.set([20, 700, 30], 10);
    const loads = computePartLoads(
      input(4000, [], { cutMm2, openings: [sideVent(1, 1)], curedMm3: 350_000 }),
    );
    expect([...loads.areaMm2.slice(9, 14)]).toEqual([600, 580, 0, 570, 600]);
    expect(loads.massG).toBeCloseTo(392, 9);
    expect(loads.liquidMm3).toBeCloseTo((350_000 * 1.12) / 1.05, 6);
    expect(loads.hours * 3600).toBeCloseTo(5 * 25 + 3995 * 2.5 + 4000 * (7 + 2.8 + 1.5), 6);
    expect(loads.cups).toEqual([]);
  });

  it('an empty print is no load', () => {
    const loads = computePartLoads(input(0, []));
    expect([loads.peakPullN, loads.hours, loads.heldMm3, loads.vatLowLayer]).toEqual([0, 0, 0, null]);
  });

  it('the vat runs low when four fifths of it are used: 350 ml, 15 mm to 3 mm', () => {
    // 6000 mm² · 0.05 mm · 1.12/1.05 = 320 mm³ of liquid a layer; 280 000 mm³ may go.
    const areaMm2 = new Float64Array(2000).fill(6000);
    expect(computePartLoads(input(2000, [], { areaMm2 })).vatLowLayer).toBe(875);
    expect(computePartLoads(input(870, [], { areaMm2: areaMm2.slice(0, 870) })).vatLowLayer).toBeNull();
  });

  it('held resin makes it run low earlier', () => {
    const areaMm2 = new Float64Array(2000).fill(2000);
    const sealed = computePartLoads(
      input(2000, [track({ areaMm2: 10_000, floor: 30, count: 600 })], { areaMm2 }),
    );
    // Film depth is 300 layers: layer k has used (k + 1)·(320/3) mm³ and lifted (k − 329)·500 mm³.
    let expected = 0;
    while (((expected + 1) * 320) / 3 + Math.max(0, Math.min(600, expected - 329)) * 500 <= 280_000)
      expected++;
    expect(sealed.vatLowLayer).toBe(expected);
    expect(computePartLoads(input(2000, [], { areaMm2 })).vatLowLayer).toBeNull();
  });

  it('a closed chamber rises full until its drain is in air, and keeps what cannot run out', () => {
    const hollow: Hollow = { areaMm2: 1000, floor: 30, count: 100, chamber: 0 };
    // Its ceiling is at 6.5 mm; the drain's mouth, across the layers, at 8 mm: in air above 23 mm.
    const drain: LoadOpening = {
      ...sideVent(8, 5, 'drains/0'),
      placed: { ...sideVent(8, 5, 'drains/0').placed, axis: [0, 0, -1] },
    };
    const areaMm2 = new Float64Array(600).fill(0);
    const closed = input(600, [track(hollow)], { openings: [drain], trappedMm3: [700], areaMm2 });
    // With 5 ml in the vat and 1 ml to be kept, the 5 ml of the chamber are told.
    const machine = { ...closed.machine, vat: 5 };
    const loads = computePartLoads({ ...closed, machine });
    expect(loads.cups[0]!.heldMm3).toBeCloseTo(5000, 6);
    expect(loads.heldMm3).toBeCloseTo(5000, 6);
    // More than 4000 mm³ above the surface: 81 layers of void, 300 layers later.
    expect(loads.vatLowLayer).toBe(30 + 80 + 300);
    const earlier = { ...drain, placed: { ...drain.placed, mouth: [0, 0, 5] as const } };
    const released = computePartLoads({ ...closed, machine, openings: [earlier] });
    // In air at once when the film is above 20 mm: only what rose by then, later only the 700 mm³.
    expect(released.cups[0]!.heldMm3).toBeCloseTo(1000 * h * 70, 6);
    expect(released.vatLowLayer).toBeNull();
  });

  it('a chamber whose drain comes out long after it rose gives all but the trapped back', () => {
    const hollow: Hollow = { areaMm2: 1000, floor: 30, count: 20, chamber: 0 };
    const at20mm = sideVent(20, 5, 'drains/0');
    const drain: LoadOpening = { ...at20mm, placed: { ...at20mm.placed, axis: [0, 0, -1] } };
    // 1 ml rises by layer 350; the drain is in air above 35 mm, layer 700 on; then 200 mm³ stay. The
    // part uses 1000 mm³ more by layer 749 than by 699, so 1.6 ml last only if the chamber lets go.
    const areaMm2 = new Float64Array(900).fill(0).fill((1000 / 50 / h) * (1.05 / 1.12), 700, 750);
    const closed = input(900, [track(hollow)], { openings: [drain], trappedMm3: [200], areaMm2 });
    const withVat = (vat: number) => computePartLoads({ ...closed, machine: { ...closed.machine, vat } });
    expect(withVat(1.6).heldMm3).toBeCloseTo(1000, 6);
    expect(withVat(1.6).vatLowLayer).toBeNull();
    expect(withVat(1.2).vatLowLayer).toBe(350 - 1);
    expect(withVat(1.4).vatLowLayer).toBe(700 + 46);
  });
});

describe('properties', () => {
  const diameter = fc.double({ min: 1, max: 20, noNaN: true });
  const area = fc.double({ min: 20, max: 12_000, noNaN: true });

  it('a bigger vent never raises the pull of any layer', () => {
    fc.assert(
      fc.property(area, diameter, fc.double({ min: 0.01, max: 5, noNaN: true }), (areaMm2, d, extra) => {
        const pulls = (width: number) => {
          const openings = [sideVent(9, width)];
          return computePartLoads(
            input(500, [track({ areaMm2, floor: 60, count: 440, openings })], { openings }),
          ).pullN;
        };
        const [small, large] = [pulls(d), pulls(d + extra)];
        for (let layer = 0; layer < 500; layer++) {
          expect(large[layer]).toBeLessThanOrEqual(small[layer]! * (1 + 1e-12));
        }
      }),
      { numRuns: 40 },
    );
  });

  it('a larger factor never lowers sealed suction: it grows with its square', () => {
    fc.assert(
      fc.property(area, fc.double({ min: 1, max: 3, noNaN: true }), (areaMm2, s) => {
        const pull = (size: number) =>
          computePartLoads(input(100, [track({ areaMm2: size, floor: 30, count: 40 })])).cups[0]!.peakPullN;
        expect(pull(areaMm2 * s * s) / pull(areaMm2)).toBeCloseTo(s * s, 9);
      }),
    );
  });

  it('no layer ever pulls more than one atmosphere over its areas', () => {
    fc.assert(
      fc.property(area, diameter, (areaMm2, d) => {
        const openings = [sideVent(7, d)];
        const loads = computePartLoads(
          input(300, [track({ areaMm2, floor: 60, count: 240, openings })], { openings }),
        );
        loads.pullN.forEach((pull, layer) => {
          const parted = loads.areaMm2[layer]! + loads.cupAreaMm2[layer]!;
          expect(pull).toBeLessThanOrEqual(parted * 1e-6 * atmosphere * (1 + 1e-12));
        });
      }),
      { numRuns: 40 },
    );
  });
});

it('thousands of layers and dozens of cups take a moment', () => {
  const openings = [sideVent(20, 12), sideVent(30, 6, 'vents/1')];
  const tracks = Array.from({ length: 48 }, () => track({ areaMm2: 500, floor: 20, count: 3900, openings }));
  const start = performance.now();
  const loads = computePartLoads(input(4000, tracks, { openings }));
  expect(loads.cups).toHaveLength(48);
  expect(performance.now() - start).toBeLessThan(5000);
});

it('every constant names its unit and where it comes from', () => {
  for (const { key, unit, basis } of Object.values(constants)) {
    expect(key).toMatch(/^physics\./);
    expect(unit).not.toBe('');
    expect(basis).not.toBe('');
  }
  const keys = loadAssumptions.map(({ key }) => key);
  expect(new Set(keys).size).toBe(keys.length);
  expect(keys).toContain(constants.atmosphere.key);
});
