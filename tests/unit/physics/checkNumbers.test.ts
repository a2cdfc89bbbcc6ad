import { describe, expect, it } from 'vitest';
import type { Resin } from '../../../src/core/kit/manifest.ts';
import { atmosphericCap } from '../../../src/core/physics/atmosphericCap.ts';
import { boyleSuction } from '../../../src/core/physics/boyleSuction.ts';
import { capillaryRetention } from '../../../src/core/physics/capillaryRetention.ts';
import { roundSection } from '../../../src/core/physics/circularSegment.ts';
import {
  clampedPlateDeflection,
  clampedPlateLargeDeflection,
  clampedPlateStress,
} from '../../../src/core/physics/clampedPlate.ts';
import { drainTime, viscousDrainTime } from '../../../src/core/physics/drainTime.ts';
import { eulerStrut } from '../../../src/core/physics/eulerStrut.ts';
import { holeStability } from '../../../src/core/physics/holeStability.ts';
import { layerCount } from '../../../src/core/physics/layerCount.ts';
import { linearShrinkage, volumetricShrinkage } from '../../../src/core/physics/linearShrinkage.ts';
import { parallelVents } from '../../../src/core/physics/parallelVents.ts';
import { printTime } from '../../../src/core/physics/printTime.ts';
import { curedMass, liquidVolume } from '../../../src/core/physics/resinAmounts.ts';
import { sealedRingForce, ventedRingForce } from '../../../src/core/physics/ringForce.ts';
import { rodDeflection, rodDiameter, rodStress } from '../../../src/core/physics/rodBending.ts';
import { sphereBuckling } from '../../../src/core/physics/sphereBuckling.ts';
import { squeezeForce } from '../../../src/core/physics/squeezeForce.ts';
import { stefanForce } from '../../../src/core/physics/stefanForce.ts';
import { tipCount, tipStrength } from '../../../src/core/physics/tipStrength.ts';
import { torricelliTime } from '../../../src/core/physics/torricelliTime.ts';
import {
  discTorsion,
  ellipseTorsion,
  rectangleTorsion,
  stripTorsion,
} from '../../../src/core/physics/torsionConstant.ts';
import { longTubeBuckling, shortTubeBuckling } from '../../../src/core/physics/tubeBuckling.ts';
import { ventPressureDrop, ventResistance } from '../../../src/core/physics/ventResistance.ts';

/** Worked numbers, each with its published basis; the tolerance is a share of the expected value. */
function close(actual: number, expected: number, tolerance = 1e-3): void {
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(tolerance * Math.abs(expected));
}

const mPa = 1e6;
const resin = { viscosity: 0.5, density: 1100 };
const physicalGap = { viscosity: 0.2, speed: 1e-3, gap: 100e-6 };
const layerGap = { viscosity: 0.5, speed: 1e-3, gap: 50e-6 };
const flow = 1e-5;

function vent(diameterMm: number, lengthMm: number) {
  return ventResistance(roundSection(diameterMm * 1e-3), lengthMm * 1e-3, resin);
}

describe('separation of plates', () => {
  it('row 1: a disc in the physical regime (Stefan 1874)', () => {
    close(stefanForce(discTorsion(5e-3), physicalGap), 0.58905);
  });

  it('rows 2 and 3: a disc at a gap of one layer is unphysical, and is capped at one atmosphere', () => {
    const raw = stefanForce(discTorsion(20e-3), layerGap);
    close(raw, 3015.93);
    close(Math.min(raw, atmosphericCap(Math.PI * 20e-3 ** 2)), 127.33);
  });

  it('row 4 and its neighbours: square, ellipse, strip (torsion analogy)', () => {
    close(stefanForce(rectangleTorsion(20e-3, 20e-3), physicalGap), 13.495, 5e-3);
    close(stefanForce(rectangleTorsion(20e-3, 20e-3), physicalGap), 13.4954, 1e-5);
    close(stefanForce(ellipseTorsion(20e-3, 10e-3), physicalGap), 30.1593, 1e-5);
    close(stefanForce(stripTorsion(100e-3, 1.5e-3), physicalGap), 0.0675, 1e-9);
  });

  it('torsion constants of rectangles as tabled (Timoshenko & Goodier)', () => {
    close(rectangleTorsion(1, 1), 0.140577, 1e-5);
    close(rectangleTorsion(2, 1), 0.457364, 1e-5);
    close(rectangleTorsion(1, 10), 3.12325, 1e-5);
    close(ellipseTorsion(3, 3), discTorsion(3), 1e-12);
    close(rectangleTorsion(1000, 1), stripTorsion(1000, 1), 7e-4);
  });

  it('row 5: a sealed ring against a vented one (Reynolds in polar coordinates)', () => {
    const sealed = sealedRingForce(60e-3, 58.5e-3, layerGap);
    const vented = ventedRingForce(60e-3, 58.5e-3, layerGap);
    close(vented, 5.0258);
    close(sealed, 23528);
    close(sealed / vented, 4681.45, 5e-3);
    close(Math.min(sealed, atmosphericCap(Math.PI * 60e-3 ** 2)), 1145.96);
  });

  it('ring forces equal the integral of their pressure', () => {
    const [outer, inner, steps] = [60e-3, 40e-3, 200_000];
    const width = (outer - inner) / steps;
    const unit = (3 * layerGap.viscosity * layerGap.speed) / layerGap.gap ** 3;
    let vented = 0;
    let sealed = Math.PI * inner ** 2 * unit * (outer ** 2 - inner ** 2);
    for (let i = 0; i < steps; i++) {
      const r = inner + (i + 0.5) * width;
      const open = unit * (outer ** 2 - r ** 2);
      const drop = (unit * (outer ** 2 - inner ** 2) * Math.log(outer / r)) / Math.log(outer / inner);
      vented += (open - drop) * 2 * Math.PI * r * width;
      sealed += open * 2 * Math.PI * r * width;
    }
    close(ventedRingForce(outer, inner, layerGap), vented, 1e-8);
    close(sealedRingForce(outer, inner, layerGap), sealed, 1e-8);
  });

  it('row 6: one disc split into four of the same total area pulls a quarter', () => {
    close((4 * discTorsion(5e-3)) / discTorsion(10e-3), 0.25);
  });
});

describe('cups and vents', () => {
  it('row 7: a sealed cup of 100 cm² (one atmosphere)', () => {
    close(atmosphericCap(100e-4), 1013.25);
  });

  it('row 8: a gas cup (Boyle)', () => {
    close(boyleSuction(50e-3, 5e-3), 9211.4);
    close(boyleSuction(50e-3, 5e-3) * 100e-4, 92.11);
  });

  it.each([
    [0.25, 917],
    [0.5, 115],
    [1, 14],
    [2, 1.8],
  ])('squeeze flow over a flat floor of 100 cm² at %f mm depth is about %f N', (depth, force) => {
    close(squeezeForce(100e-4, 0.3, 1e-3, depth * 1e-3), force, 0.025);
  });

  it('squeeze flow by hand: 3·µ·v·(A²/2π)/h³ (Stefan 1874)', () => {
    close(squeezeForce(100e-4, 0.3, 1e-3, 0.25e-3), 916.732, 1e-6);
  });

  it('row 9: a 4 mm vent, friction and entrance (Hagen–Poiseuille, Sampson 1891)', () => {
    close(vent(4, 2).linear * flow, 3466.55);
  });

  it('row 10: with inertia', () => {
    close(ventPressureDrop(vent(4, 2), flow), 4372.61);
  });

  it('row 11: a vent without length keeps its entrance (Sampson 1891)', () => {
    close(vent(4, 0).linear * flow, 1875);
  });

  it('row 12: two equal vents halve it', () => {
    const viscous = { linear: vent(4, 2).linear, quadratic: 0 };
    close(parallelVents([viscous, viscous], flow), 1733.27);
    close(parallelVents([vent(4, 2), vent(4, 2)], flow), 1959.8);
  });

  it.each([
    [2, 54961.8, 549.62],
    [3, 12338.1, 123.38],
    [5, 1983.02, 19.83],
    [6, 1048.91, 10.49],
    [8, 390.48, 3.9],
  ])('a vent of %f mm drops %f Pa and pulls %f N', (diameter, drop, force) => {
    close(ventPressureDrop(vent(diameter, 2), flow), drop);
    close(ventPressureDrop(vent(diameter, 2), flow) * 100e-4, force, 2e-3);
  });

  it('an air vent of 4 mm drops next to nothing', () => {
    const inAir = ventResistance(roundSection(4e-3), 2e-3, { viscosity: 1.81e-5, density: 1.204 });
    close(ventPressureDrop(inAir, flow), 1.117);
  });
});

describe('draining', () => {
  const drain = { area: 100e-4, diameter: 5e-3, length: 2e-3, from: 100e-3, to: 5e-3 };

  it('row 13: Torricelli', () => {
    close(torricelliTime(100e-4, 100e-3, (Math.PI / 4) * 5e-3 ** 2), 117.31);
  });

  it('row 14: viscous', () => {
    close(viscousDrainTime(drain, resin), 400.32);
  });

  it.each([
    [0.001, 5, 87.84],
    [0.05, 5, 110.05],
    [0.2, 5, 200.69],
    [0.5, 5, 420.66],
    [1, 5, 811.36],
    [0.5, 3, 2381.2],
    [0.5, 8, 96.07],
  ])('row 15: friction and inertia at %f Pa·s through %f mm take %f s', (viscosity, diameter, seconds) => {
    close(drainTime({ ...drain, diameter: diameter * 1e-3 }, { viscosity, density: 1100 }), seconds, 5e-3);
    close(drainTime({ ...drain, diameter: diameter * 1e-3 }, { viscosity, density: 1100 }), seconds, 1e-4);
  });

  it('row 15: the closed form equals stepping in time', () => {
    const { linear, quadratic } = vent(5, 2);
    let level = drain.from + drain.length;
    let seconds = 0;
    const step = 0.01;
    while (level > drain.to + drain.length) {
      const drop = 1100 * 9.80665 * level;
      const out = (-linear + Math.sqrt(linear ** 2 + 4 * quadratic * drop)) / (2 * quadratic);
      level -= (out * step) / drain.area;
      seconds += step;
    }
    close(drainTime(drain, resin), seconds, 2e-4);
  });

  it('row 16: what surface tension holds back (Jurin)', () => {
    const { pressure, head } = capillaryRetention(1e-3, 0.035, 1100);
    close(pressure, 140);
    close(head, 12.98e-3);
  });

  it('a single hole in a closed cavity (Rayleigh–Taylor, from memory)', () => {
    const { freeRim, pinnedRim } = holeStability(0.035, 1100);
    close(freeRim, 6.63e-3);
    close(pinnedRim, 13.8e-3);
  });
});

describe('walls, rods and supports', () => {
  const panel = { radius: 60e-3, thickness: 1.5e-3, modulus: 1e9, poisson: 0.4 };

  it('row 17: a clamped panel (plate theory)', () => {
    close(clampedPlateStress(panel, 10e3), 12e6);
  });

  it('row 18: its linear deflection is told to be invalid', () => {
    const { deflection, valid } = clampedPlateDeflection(panel, 10e3);
    close(deflection, 6.048e-3);
    expect(valid).toBe(false);
    expect(clampedPlateDeflection(panel, 1e3).valid).toBe(true);
    close(clampedPlateDeflection(panel, 1e3).deflection, 0.605e-3);
  });

  it('its large deflection (Roark form), and the linear one at small load', () => {
    close(clampedPlateLargeDeflection(panel, 10e3), 2.532e-3);
    close(clampedPlateLargeDeflection(panel, 1), clampedPlateDeflection(panel, 1).deflection, 1e-3);
  });

  it('row 19: sphere (Zoelly 1915) and its knock-down', () => {
    const { classical, design } = sphereBuckling(60e-3, 1.5e-3, 1e9, 0.4);
    close(classical, 787.43e3);
    close(design, 157.5e3);
    close(sphereBuckling(60e-3, 1.5e-3, 0.45e9, 0.4).design, 70.9e3);
  });

  it('tubes, long and short (Windenburg & Trilling 1934, from memory)', () => {
    close(longTubeBuckling(panel), 4.65e3);
    close(shortTubeBuckling(panel, 120e-3), 50.7e3);
  });

  it('rows 20 and 21: rods (beam theory)', () => {
    close(rodStress(0.784532, 4e-3), 124.86 * mPa);
    close(rodDiameter(0.784532, 205 * mPa, 2), 4.272e-3);
    close(rodDiameter(0.784532, 270 * mPa, 2), 3.897e-3);
    close(rodDeflection(10, 40e-3, 193e9, 4e-3), 0.088e-3);
  });

  it('row 22: tips', () => {
    const oneTip = tipStrength(0.4e-3, 25 * mPa);
    close(oneTip, Math.PI);
    expect(tipCount(50, 2, oneTip)).toBe(32);
    expect(tipCount(3 * oneTip, 1, oneTip)).toBe(3);
    close(tipStrength(0.4e-3, 15 * mPa), 1.885);
  });

  it.each([
    [1, 1.1682],
    [0.5, 4.6727],
    [2, 0.292],
  ])('row 23: a strut of fixity %f (Euler 1744)', (fixity, force) => {
    close(eulerStrut(1e-3, 20e-3, 964.5 * mPa, fixity), force);
  });
});

describe('time and amounts', () => {
  const lift = { distance: 7, up: 90, down: 150, wait: 1.5, second: null };
  const exposure = { base: 20, baseLayers: 5, normal: 2.2 };

  it('row 35: hours of a tall part', () => {
    close(printTime(4000, lift, exposure), 44755.67, 1e-4);
  });

  it('two stages add up, and a print shorter than its base layers has only those', () => {
    const staged = { ...lift, distance: 3, second: { distance: 4, up: 180, down: 240 } };
    const motion = 60 * (3 / 90 + 3 / 150 + 4 / 180 + 4 / 240) + 1.5;
    close(printTime(4000, staged, exposure), 5 * 20 + 3995 * 2.2 + 4000 * motion, 1e-12);
    close(printTime(2, lift, exposure), 2 * (20 + 8.966667), 1e-6);
    expect(printTime(0, lift, exposure)).toBe(0);
  });

  it('row 36: a whole number of layers stays one', () => {
    expect(layerCount(200, 0.05)).toBe(4000);
    expect(layerCount(0.3, 0.1)).toBe(3);
    expect(layerCount(200.001, 0.05)).toBe(4001);
    expect(layerCount(0, 0.05)).toBe(0);
  });

  it('row 33: mass of a spherical shell, and the bottle it takes', () => {
    const shell = ((4 * Math.PI) / 3) * (60 ** 3 - 58.5 ** 3);
    close(shell, 66176.08, 1e-6);
    const slate: Pick<Resin, 'density' | 'liquidDensity'> = { density: 1.15, liquidDensity: 1.1 };
    close(curedMass(shell, slate), 76.1);
    close(liquidVolume(shell, slate) * slate.liquidDensity, curedMass(shell, slate) * 1000, 1e-12);
    close(curedMass(350_000, slate), 402.5, 1e-12);
  });

  it('row 38: shrinkage', () => {
    close(linearShrinkage(0.06), 0.020414);
    close(volumetricShrinkage(1.1, 1.18), 0.0678);
  });
});
