import { describe, expect, it } from 'vitest';
import type { LimbLobes, PrintNeck } from '../../../src/core/chambers/limbLobes.ts';
import type { CupState } from '../../../src/core/layers/cupTrack.ts';
import { roundSection } from '../../../src/core/physics/circularSegment.ts';
import type { CupVent } from '../../../src/core/physics/cupVents.ts';
import type { LoadSetting } from '../../../src/core/physics/loadSetting.ts';
import { type LobeFlow, lobeFlow, lobePull } from '../../../src/core/physics/lobeFlow.ts';
import { ventResistance } from '../../../src/core/physics/ventResistance.ts';

const h = 0.05;
const resin = { viscosity: 0.3, density: 1050 };
const speed = 1e-3;

/** Two lobes of 60 and 40 % of 50 cm², a level neck 6 mm wide and 8 mm long between them at 10 mm. */
const neck: PrintNeck = {
  a: 0,
  b: 1,
  at: [0, 0, 10],
  direction: [1, 0, 0],
  areaMm2: 9 * Math.PI,
  hydraulicMm: 6,
  lengthMm: 8,
  ends: [
    [-4, 0, 10],
    [4, 0, 10],
  ],
};
const limbs: LimbLobes = {
  layer: Uint32Array.of(0, 500),
  start: Uint32Array.of(0, 2, 4),
  limb: Uint32Array.of(7, 7, 7, 7),
  lobe: Uint16Array.of(0, 1, 0, 1),
  areaMm2: Float64Array.of(30, 20, 3000, 2000),
  necks: [neck],
};
const settingOf = (openingLobe: readonly number[], more: Partial<LimbLobes> = {}): LoadSetting => ({
  layers: 2000,
  layerHeight: h,
  resinDepth: 15,
  stages: [{ speed, risen: 0 }],
  resin,
  air: resin,
  wallBore: 1.5e-3,
  suctionLimit: 20,
  breatheLayers: 10,
  openings: [],
  lobes: { limbs: { ...limbs, ...more }, openingLobe: Int32Array.from(openingLobe) },
});
const stateAt = (layer: number, limb = 7): CupState => ({
  layer,
  limb,
  areaMm2: 5000,
  volumeMm3: 50_000,
  floorLayer: 0,
  floorAt: [0, 0, 0],
  joined: true,
  openings: [0],
  sculptedMm2: 0,
});
const vent = (opening: number, diameter: number): CupVent => ({
  id: `vents/${opening}`,
  opening,
  inAir: false,
  resistance: ventResistance(roundSection(diameter), 1.5e-3, resin),
});

/** By hand (Sampson 1891, Hagen–Poiseuille, orifice), Pa. */
function drop(d: number, length: number, flow: number): number {
  const r = d / 2;
  const orifice = 0.62 * Math.PI * r * r;
  return 0.3 * flow * (3 / r ** 3 + (8 * length) / (Math.PI * r ** 4)) + 0.5 * 1050 * (flow / orifice) ** 2;
}

const pullOf = (flow: LobeFlow | null): number => lobePull(flow!, speed);

describe('two lobes joined by a neck of known size', () => {
  it('the one beyond the neck pulls with the drop of both, the other with the vent’s', () => {
    const flow = lobeFlow(stateAt(400), [vent(0, 5e-3)], settingOf([0]));
    const near = drop(5e-3, 1.5e-3, 5e-6);
    const far = near + drop(6e-3, 8e-3, 2e-6);
    expect(pullOf(flow)).toBeCloseTo(near * 3e-3 + far * 2e-3, 6);
  });

  it('with the vent on the lesser side the neck carries the greater flow', () => {
    const flow = lobeFlow(stateAt(400), [vent(0, 5e-3)], settingOf([1]));
    const near = drop(5e-3, 1.5e-3, 5e-6);
    const far = near + drop(6e-3, 8e-3, 3e-6);
    expect(pullOf(flow)).toBeCloseTo(near * 2e-3 + far * 3e-3, 6);
  });

  it('a vent on either side, each as wide as its own needs, leaves the neck without flow', () => {
    // Drops are alike when areas of holes are as the flows, but for wall and entrance: here all is orifice.
    const wide = { linear: 1e-3, quadratic: 1e10 };
    const vents = [
      { ...vent(0, 5e-3), resistance: { ...wide, quadratic: wide.quadratic / 9 } },
      { ...vent(1, 5e-3), resistance: { ...wide, quadratic: wide.quadratic / 4 } },
    ];
    const expected = 1e10 * 1e-12;
    expect(pullOf(lobeFlow(stateAt(400), vents, settingOf([0, 1]))) / (expected * 5e-3)).toBeCloseTo(1, 4);
  });

  it('half printed, the neck is a segment: it resists more', () => {
    const whole = pullOf(lobeFlow(stateAt(400), [vent(0, 5e-3)], settingOf([0])));
    // Film at 10 mm while layer 199 is made.
    const half = pullOf(lobeFlow(stateAt(199), [vent(0, 5e-3)], settingOf([0])));
    const area = (9e-6 * Math.PI) / 2;
    const r = (2 * Math.PI * 3e-3) / (Math.PI + 2) / 2;
    const holes = area / (Math.PI * r * r);
    const far =
      (0.3 * 2e-6 * (3 / r ** 3 + (8 * 8e-3) / (Math.PI * r ** 4))) / holes +
      0.5 * 1050 * (2e-6 / (0.62 * area)) ** 2;
    expect(half).toBeCloseTo(drop(5e-3, 1.5e-3, 5e-6) * 5e-3 + far * 2e-3, 6);
    expect(half).toBeGreaterThan(whole);
  });

  it('a lobe behind the neck that no longer reaches the film passes on what comes through it', () => {
    const onlyFar = {
      layer: Uint32Array.of(0, 300, 500),
      start: Uint32Array.of(0, 2, 3, 4),
      lobe: Uint16Array.of(0, 1, 1, 1),
      areaMm2: Float64Array.of(30, 20, 1, 1),
    };
    const flow = lobeFlow(stateAt(400), [vent(0, 5e-3)], settingOf([0], onlyFar));
    expect(pullOf(flow)).toBeCloseTo((drop(5e-3, 1.5e-3, 5e-6) + drop(6e-3, 8e-3, 5e-6)) * 5e-3, 6);
  });

  it('what can not be reached pulls with one atmosphere, and never with more', () => {
    const tight = settingOf([0], { necks: [{ ...neck, areaMm2: 1e-4, hydraulicMm: 0.01 }] });
    const near = drop(5e-3, 1.5e-3, 5e-6);
    expect(pullOf(lobeFlow(stateAt(400), [vent(0, 5e-3)], tight))).toBeLessThanOrEqual(
      near * 3e-3 + 101325 * 2e-3,
    );
    expect(pullOf(lobeFlow(stateAt(400), [vent(0, 5e-3)], tight))).toBeGreaterThan(101325 * 2e-3);
  });
});

it('shares the area as between the layers looked at', () => {
  const flow = lobeFlow(
    stateAt(250),
    [vent(0, 5e-3)],
    settingOf([0], { areaMm2: Float64Array.of(10, 90, 50, 50) }),
  );
  // Half way: 30 and 70 of 100.
  expect([...flow!.areas].map((area) => area / 5e-3)).toEqual(
    [0.3, 0.7].map((share) => expect.closeTo(share, 9)),
  );
});

it('one void: without necks, in a limb that is not resolved, and where one lobe alone is printed', () => {
  expect(lobeFlow(stateAt(400), [vent(0, 5e-3)], settingOf([0], { necks: [] }))).toBeNull();
  expect(lobeFlow(stateAt(400, 8), [vent(0, 5e-3)], settingOf([0]))).toBeNull();
  const alone = settingOf([0], { lobe: Uint16Array.of(0, 0, 0, 0) });
  // The neck's first edge lies at 7 mm.
  expect(lobeFlow(stateAt(138), [vent(0, 5e-3)], alone)).toBeNull();
  expect(lobeFlow(stateAt(142), [vent(0, 5e-3)], alone)).not.toBeNull();
});
