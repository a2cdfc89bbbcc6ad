import { describe, expect, it } from 'vitest';
import type { FigurePart } from '../../../src/core/joints/balanceFigure.ts';
import type { Joint } from '../../../src/core/joints/joint.ts';
import type { PinDecision } from '../../../src/core/joints/jointDecision.ts';
import { type BearingJoint, jointLoads } from '../../../src/core/joints/jointLoads.ts';
import { pinStrength } from '../../../src/core/joints/pinStrength.ts';
import { bearingDepth, bearingPressure } from '../../../src/core/physics/pinBearing.ts';
import type { Vec3 } from '../../../src/core/vector.ts';

const up: Vec3 = [0, 0, 1];

const part = (name: string, massG: number, at: Vec3): FigurePart => ({
  name,
  weight: { massG, at },
  footing: { lowMm: 0, corners: [] },
});

const meeting = (first: string, second: string, at: Vec3, areaMm2 = 300, isPinned = false): BearingJoint => ({
  first,
  second,
  joint: { gap: { areaMm2 } } as Joint,
  at,
  isPinned,
});

// A base, a body on it, a head and an arm on that, a lantern in the hand.
const parts = [
  part('base', 500, [0, 0, 5]),
  part('body', 200, [0, 0, 60]),
  part('head', 50, [0, -4, 120]),
  part('arm', 30, [30, 0, 90]),
  part('lantern', 20, [60, 0, 80]),
];
const joints = [
  meeting('base', 'body', [0, 0, 10]),
  meeting('body', 'head', [0, 0, 110]),
  meeting('arm', 'body', [15, 0, 90]),
  meeting('arm', 'lantern', [50, 0, 90]),
];

describe('what hangs on a joint', () => {
  it('is all that is beyond it, from the ground', () => {
    const loads = jointLoads(joints, parts, ['base'], up);
    expect(loads.map((load) => [...load!.beyond].sort().join())).toEqual([
      'arm,body,head,lantern',
      'head',
      'arm,lantern',
      'lantern',
    ]);
    expect(loads.map((load) => load!.massG)).toEqual([300, 50, 50, 20]);
  });

  it('has the lever of its own centre of mass, level and straight', () => {
    const loads = jointLoads(joints, parts, ['base'], up);
    const shoulder = loads[2]!;
    expect(shoulder.at).toEqual([(30 * 30 + 20 * 60) / 50, 0, (30 * 90 + 20 * 80) / 50]);
    expect(shoulder.leverMm).toBeCloseTo(42 - 15, 9);
    expect(shoulder.armMm).toBeCloseTo(Math.hypot(27, 4), 9);
    expect(loads[1]!.leverMm).toBeCloseTo(4, 9);
    expect(loads[1]!.armMm).toBeCloseTo(Math.hypot(4, 10), 9);
  });

  it('does not lean on a mere touch', () => {
    const touching = [...joints, meeting('base', 'lantern', [60, 0, 70], 9)];
    const loads = jointLoads(touching, parts, ['base'], up);
    expect(loads[2]!.massG).toBe(50);
    expect(loads[4]).toBeNull();
  });

  it('of a ring goes by the largest contact, unless a pin is decided on', () => {
    const narrow = [...joints, meeting('base', 'lantern', [60, 0, 70], 100)];
    expect(jointLoads(narrow, parts, ['base'], up)[4]).toBeNull();
    const pinned = [...joints, meeting('base', 'lantern', [60, 0, 70], 100, true)];
    const loads = jointLoads(pinned, parts, ['base'], up);
    expect(loads[4]!.massG).toBeGreaterThan(0);
    // One joint of the ring bears nothing then.
    expect(loads.filter((load) => load === null)).toHaveLength(1);
  });

  it('is nothing where neither side reaches the ground', () => {
    const floating = [meeting('body', 'head', [0, 0, 110])];
    expect(jointLoads(floating, parts, ['base'], up)).toEqual([null]);
  });
});

describe('a pin', () => {
  const load = { beyond: ['body'], massG: 2000, at: [40, 0, 0] as const, leverMm: 40, armMm: 40 };
  const pin: PinDecision = {
    metal: 'stainless',
    yieldMpa: null,
    diameter: null,
    depth: null,
    safety: 2,
    handling: 1,
    clearance: 0.15,
    at: null,
  };

  // 2 kg at 40 mm: 0.78453 N·m; bending of a round rod, 32·M·S/(π·σ).
  it('is as thick as bending asks', () => {
    const { momentNm, neededMm, diameterMm, reserve } = pinStrength(load, pin, 15);
    expect(momentNm).toBeCloseTo(0.784532, 6);
    expect(neededMm).toBeCloseTo(4.272, 3);
    expect(diameterMm).toBe(neededMm);
    expect(reserve).toBeCloseTo(2, 9);
  });

  it('bears what a given rod bears, and thrice the weight takes the cube root of three', () => {
    expect(pinStrength(load, { ...pin, diameter: 4 }, 15).reserve).toBeCloseTo(205 / 124.86, 3);
    expect(pinStrength(load, { ...pin, handling: 3 }, 15).neededMm).toBeCloseTo(4.272 * Math.cbrt(3), 2);
    expect(pinStrength(load, { ...pin, yieldMpa: 270 }, 15).neededMm).toBeCloseTo(3.897, 3);
  });

  it('reaches as deep as the socket asks', () => {
    const { neededDepthMm, bearingMpa } = pinStrength(load, { ...pin, diameter: 4 }, 15);
    expect(bearingMpa).toBeCloseTo(15, 9);
    const deeper = pinStrength(load, { ...pin, diameter: 4, depth: 2 * neededDepthMm }, 15);
    expect(deeper.bearingMpa).toBeLessThan(15 / 2);
  });

  it('presses as pressures that balance it do', () => {
    // Moment alone, 20 mm deep: 6·M/(d·L²) = 2.942 MPa.
    expect(bearingPressure(0, 0.784532, 4e-3, 20e-3) / 1e6).toBeCloseTo(2.942, 3);
    expect(bearingPressure(0, 0.784532, 4e-3, bearingDepth(0, 0.784532, 4e-3, 2.942e6)) / 1e6).toBeCloseTo(
      2.942,
      6,
    );
    // Force and moment together, against a thousand strips of the linear pressure they ask for.
    const [force, moment, width, deep, strips] = [20, 0.5, 4e-3, 18e-3, 1000];
    const most = bearingPressure(force, moment, width, deep);
    const slope = (-12 * moment - 6 * force * deep) / (width * deep ** 3);
    let [pushed, turned] = [0, 0];
    for (let n = 0; n < strips; n++) {
      const at = ((n + 0.5) / strips) * deep;
      const own = (most + slope * at) * width * (deep / strips);
      pushed += own;
      turned += own * at;
    }
    expect(pushed).toBeCloseTo(force, 6);
    expect(-turned).toBeCloseTo(moment, 5);
  });
});
