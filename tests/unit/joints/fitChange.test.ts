import { describe, expect, it } from 'vitest';
import type { Affine } from '../../../src/core/affine.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { type FitChange, fitChange } from '../../../src/core/joints/fitChange.ts';
import type { Joint } from '../../../src/core/joints/joint.ts';
import { packFaces, unpackFaces } from '../../../src/core/joints/jointFaces.ts';
import { measureJoint } from '../../../src/core/joints/measureJoint.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { rotationOf } from '../../../src/core/mesh/rotationOf.ts';
import { type SizeDoubt, sizeDoubt } from '../../../src/core/trueSize/sizeDoubt.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';
import { bodyOf, socket } from './bodies.ts';

const boxKey = (wide: number) => shapes.transformed(shapes.box([wide, wide, 12]), { shift: [0, 0, -2] });
const joint: Joint = measureJoint(bodyOf(boxKey(10)), bodyOf(socket(20, 14, 10.4, 8.5)), 1, uninterrupted)!;

const known: SizeDoubt['measured'] = { shrinkage: true, spread: true };
/** A resin that comes out shorter by just so much: the ends of what it may be are one. */
const exactly = (shares: Vec3, more: Partial<SizeDoubt> = {}): SizeDoubt => ({
  resin: 'slate',
  least: shares,
  most: shares,
  spreadMm: 0,
  baseMm: 0.25,
  boreLossMm: 0,
  measured: known,
  ...more,
});

/** High above the base layers. */
const posed = (turn: Vec3, shift: Vec3 = [0, 0, 50]): Affine => ({ linear: [...rotationOf(turn)], shift });
const upright = posed([0, 0, 0]);
/** Print x is the joint's −z or z, print z its x. */
const lying = posed([0, 90, 0]);

const change = (
  poses: readonly [Affine, Affine],
  first: SizeDoubt,
  second: SizeDoubt = first,
  of: Joint = joint,
): FitChange => fitChange({ joint: of, toPrint: poses }, [first, second]);

/** Faces of a box: half widths w along x and y, gap 0.2 mm, no ends. */
const boxFaces = (wx: number, wy: number): Joint => ({
  ...joint,
  faces: packFaces(
    [
      [1, 0, 0],
      [-1, 0, 0],
      [0, 1, 0],
      [0, -1, 0],
    ].map(([x, y]) => ({
      at: [7 + x! * wx, -3 + y! * wy, 1],
      outOfFirst: [x!, y!, 0],
      areaMm2: 10,
      gapMm: 0.2,
    })),
  ),
});

describe('a box key in a box socket', () => {
  it('keeps its fit where both shrink along the same axes of the figure', () => {
    for (const pose of [upright, lying, posed([31, -47, 12])]) {
      const { known, tightest, loosest } = change([pose, pose], exactly([0.004, 0.003, 0.01]));
      for (const shift of [known, tightest, loosest]) {
        expect(shift.q5).toBeCloseTo(0, 9);
        expect(shift.median).toBeCloseTo(0, 9);
      }
    }
  });

  it('loses half its width times the difference of the shares on each side when its socket lies', () => {
    // Across x the plug shrinks by its print x (0.2 %), the socket by its print z (1 %); across y both by 0.3 %.
    const shares: Vec3 = [0.002, 0.003, 0.01];
    const { tightest } = change([upright, lying], exactly(shares), exactly(shares), boxFaces(20, 10));
    expect(tightest.q5).toBeCloseTo(20 * (0.002 - 0.01), 6);
    expect(tightest.median).toBeCloseTo(20 * (0.002 - 0.01), 6);
    // The other way round the two sides across x come out wider, and the two across y as sculpted.
    const swapped = change([lying, upright], exactly(shares), exactly(shares), boxFaces(20, 10));
    expect(swapped.tightest.q5).toBeCloseTo(0, 6);
    expect(swapped.tightest.median).toBeCloseTo(0, 6);
  });

  it('is reckoned of the measured joint as of its faces', () => {
    const shares: Vec3 = [0.002, 0.003, 0.01];
    const { tightest } = change([upright, lying], exactly(shares));
    // Faces of the plug stand 5 mm from the middle, those of the socket 5.2 mm.
    expect(tightest.q5).toBeLessThan(5 * (0.002 - 0.01) + 1e-4);
    expect(tightest.q5).toBeGreaterThan(5.2 * (0.002 - 0.01) - 1e-4);
  });

  it('turned by an angle shrinks by n·RᵀSR·n times its half width', () => {
    // 30° about the plate's x: the socket's y looks along (0, cos 30°, sin 30°), so it shrinks by sy·cos² + sz·sin².
    const [sx, sy, sz] = [0.002, 0.004, 0.012];
    const turned = posed([30, 0, 0]);
    const { tightest } = change(
      [upright, turned],
      exactly([sx, sy, sz]),
      exactly([sx, sy, sz]),
      boxFaces(10, 20),
    );
    const along = sy * 0.75 + sz * 0.25;
    expect(tightest.q5).toBeCloseTo(20 * (sy - along), 6);
    // The faces across x see nothing of it: their own shares are alike, and they stand in the middle of y.
    const { loosest } = change(
      [upright, turned],
      exactly([sx, sy, sz]),
      exactly([sx, sy, sz]),
      boxFaces(10, 0),
    );
    expect(loosest.median).toBeCloseTo(0, 6);
  });
});

describe('a resin that was not measured', () => {
  const open = { measured: { shrinkage: false, spread: true } } as const;
  const upTo = (share: number, resin = 'slate'): SizeDoubt => ({
    ...exactly([0, 0, 0], open),
    resin,
    most: [share, share, share],
  });

  it('is at its worst at the ends of what it may shrink, in two poses', () => {
    const { known, tightest, loosest, byPose, unmeasured } = change(
      [upright, lying],
      upTo(0.005),
      upTo(0.005),
      boxFaces(20, 20),
    );
    // Across x: sx − sz between ∓0.5 %; across y nothing.
    expect(known).toEqual({ q5: 0, median: 0 });
    expect(tightest.q5).toBeCloseTo(-0.1, 6);
    expect(byPose.q5).toBeCloseTo(-0.1, 6);
    expect(loosest.median).toBeCloseTo(0, 6);
    expect(unmeasured).toEqual(['slate']);
  });

  it('changes nothing in one pose, but for a resin of its own', () => {
    const same = change([lying, lying], upTo(0.005), upTo(0.005), boxFaces(20, 20));
    expect(same.tightest.q5).toBeCloseTo(0, 9);
    expect(same.unmeasured).toEqual([]);
    const two = change([lying, lying], upTo(0.005), upTo(0.005, 'granite'), boxFaces(20, 20));
    expect(two.tightest.q5).toBeCloseTo(-0.1, 6);
    expect(two.loosest.median).toBeCloseTo(0.1, 6);
    expect(two.unmeasured).toEqual(['slate', 'granite']);
  });

  it('spreads where a face stands in the base layers, level', () => {
    const spreading = exactly([0, 0, 0], { spreadMm: 0.1, measured: { shrinkage: true, spread: false } });
    // The faces lie 1 mm above the joint's zero: in the base layers of what stands 0.9 mm lower, not 0.7.
    const at = (z: number) =>
      change([posed([0, 0, 0], [0, 0, z]), upright], spreading, spreading, boxFaces(5, 5));
    expect(at(-0.9).tightest.q5).toBeCloseTo(-0.1, 6);
    expect(at(-0.9).bySpread.q5).toBeCloseTo(-0.1, 6);
    expect(at(-0.9).unmeasured).toEqual(['slate']);
    expect(at(-0.7).tightest.q5).toBe(0);
  });
});

describe('stray light', () => {
  const closing = exactly([0, 0, 0], { boreLossMm: 0.12 });

  it('closes an upright socket by half its loss on each side, and known', () => {
    const { known, tightest } = change([upright, upright], closing);
    expect(known.q5).toBeCloseTo(-0.06, 6);
    expect(known.median).toBeCloseTo(-0.06, 6);
    expect(tightest.q5).toBeCloseTo(-0.06, 6);
  });

  it('is the socket’s matter alone, and counts level', () => {
    expect(change([upright, upright], closing, exactly([0, 0, 0])).known.q5).toBe(0);
    expect(change([upright, upright], closing, closing, { ...joint, plug: null }).known.q5).toBe(0);
    // Tilted by 60° about x: the faces across y look level by cos 60°.
    const tilted = change([upright, posed([60, 0, 0])], closing, closing, boxFaces(0, 5));
    expect(tilted.known.q5).toBeCloseTo(-0.06, 6);
    const across = { ...joint, faces: boxFaces(0, 5).faces.slice(16) };
    expect(change([upright, posed([60, 0, 0])], closing, closing, across).known.q5).toBeCloseTo(-0.03, 6);
  });
});

describe('the faces of a joint', () => {
  it('are kept with all of their area, however many they are', () => {
    const places = Array.from({ length: 10_001 }, (_, n) => ({
      at: [n, 0, 0] as const,
      outOfFirst: [0, 0, 1] as const,
      areaMm2: 0.25,
      gapMm: n % 2,
    }));
    const kept = unpackFaces(packFaces(places));
    expect(kept.length).toBeLessThanOrEqual(2048);
    expect(kept.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)).toBeCloseTo(2500.25, 6);
    expect(unpackFaces(packFaces(places.slice(0, 3)))).toEqual(places.slice(0, 3));
  });
});

describe('what is not known of a resin', () => {
  const doubtOf = (resin: string) => {
    const text = `scale: { factor: 1 }\nmachine: { layer: 0.05, exposure: { base-layers: 6 } }\nresins: { slate: ${resin} }\nparts: { a: { file: a.stl } }\n`;
    const { machine, limits, resins } = parseManifest(text).manifest!;
    return sizeDoubt(resins.get('slate')!, machine, limits);
  };

  it('is what may be by default, as long as no coupon told', () => {
    expect(doubtOf('{ bore-loss: 0.12 }')).toEqual({
      resin: 'slate',
      least: [0, 0, 0],
      most: [0.005, 0.005, 0.005],
      spreadMm: 0.1,
      baseMm: expect.closeTo(0.3, 9),
      boreLossMm: 0.12,
      measured: { shrinkage: false, spread: false },
    });
  });

  it('is how well a coupon is read afterwards, also where it told nothing shrinks', () => {
    // 0.02 mm of calipers over arms of 60 mm and a post of 30 mm.
    for (const shrinkage of ['0', '[0.4, 0.35, 0.2]']) {
      const { least, most, spreadMm, measured } = doubtOf(`{ shrinkage: ${shrinkage}, spread: 0 }`);
      expect(measured).toEqual({ shrinkage: true, spread: true });
      expect(spreadMm).toBe(0);
      for (const [axis, share] of [1 / 3000, 1 / 3000, 1 / 1500].entries()) {
        expect(most[axis]).toBeCloseTo(share, 9);
        expect(least[axis]).toBeCloseTo(-share, 9);
      }
    }
  });
});
