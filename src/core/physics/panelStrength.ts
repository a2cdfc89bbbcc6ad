import type { WallPanel } from '../walls/wallPanel.ts';
import {
  clampedPlateDeflection,
  clampedPlateLargeDeflection,
  clampedPlateLargeStress,
  clampedPlateStress,
} from './clampedPlate.ts';
import { clampedRectangle } from './clampedRectangle.ts';
import { constants } from './constants.ts';
import { sphereBuckling } from './sphereBuckling.ts';
import { longTubeBuckling, shortTubeBuckling } from './tubeBuckling.ts';

/** What a panel is made of. */
export interface PanelStuff {
  readonly wallMm: number;
  /** MPa, as printed. */
  readonly strength: number;
  readonly modulus: number;
}

/** What a pressure does to a panel. */
export interface PanelState {
  readonly stressMpa: number;
  readonly deflectionMm: number;
  /** kPa at which it buckles; null for a flat panel, which does not. */
  readonly bucklesKpa: number | null;
  /** Whether the formula holds there: thin wall, and a deflection it covers. */
  readonly valid: boolean;
}

/** A plate is thin enough for its formulas up to this part of its span, a shell up to this part of its radius. From memory. */
const THIN = 1 / 10;
/** Deflections up to this many walls are covered by the plate's large-deflection formula. From memory. */
const MOST_WALLS_DEEP = 5;

/**
 * A panel under a net outside pressure of `kpa`, its whole rim held:
 * - flat: built-in rectangle of its width and length; beyond half a wall's deflection with the membrane's
 *   share, which is taken from the round plate of the same linear deflection;
 * - shell: membrane stress p·R/(2·t), and a sphere's buckling pressure with its knock-down for real
 *   shells (it is part of one, and its rim at the film is free);
 * - tube: hoop stress p·R/t, and a tube's buckling pressure by its straight length, one end held round and
 *   the other, at the film, free.
 *
 * R is the middle of the wall. Sources and validity: the formula files.
 */
export function panelState(panel: WallPanel, kpa: number, stuff: PanelStuff): PanelState {
  const pressure = kpa * 1e3;
  const thickness = stuff.wallMm * 1e-3;
  const modulus = stuff.modulus * 1e6;
  const poisson = constants.poisson.value;
  if (panel.shape === 'flat') return flatState(panel, pressure, thickness, modulus, poisson);
  const radius = panel.radiusMm! * 1e-3 + thickness / 2;
  if (panel.shape === 'shell') {
    const { design } = sphereBuckling(radius, thickness, modulus, poisson);
    return {
      stressMpa: ((pressure * radius) / (2 * thickness)) * 1e-6,
      deflectionMm: ((pressure * radius * radius * (1 - poisson)) / (2 * modulus * thickness)) * 1e3,
      bucklesKpa: design * 1e-3,
      valid: thickness <= THIN * radius,
    };
  }
  const tube = { radius, thickness, modulus, poisson };
  return {
    stressMpa: ((pressure * radius) / thickness) * 1e-6,
    deflectionMm: ((pressure * radius * radius) / (modulus * thickness)) * 1e3,
    bucklesKpa: freeTubeBuckling(tube, panel.spanMm * 1e-3) * 1e-3,
    valid: thickness <= THIN * radius,
  };
}

/** The short tube's with its knock-down for a free end, down to the long tube's, which asks for no ends. */
function freeTubeBuckling(tube: Parameters<typeof longTubeBuckling>[0], length: number): number {
  const short = constants.tubeFreeEnd.value * shortTubeBuckling(tube, length);
  return short > 0 ? Math.max(longTubeBuckling(tube), short) : Infinity;
}

function flatState(
  { spanMm, lengthMm }: WallPanel,
  pressure: number,
  thickness: number,
  modulus: number,
  poisson: number,
): PanelState {
  const width = spanMm * 1e-3;
  const { stress, deflection } = clampedRectangle(lengthMm / spanMm);
  // The round plates that bend, and that are stressed, as the rectangle is.
  const bending = { radius: width * (deflection / 0.171) ** 0.25, thickness, modulus, poisson };
  const stressed = width * Math.sqrt(stress / 0.75);
  const linear = clampedPlateDeflection(bending, pressure);
  const isSmall = linear.valid;
  const relief = isSmall
    ? 1
    : clampedPlateLargeStress(bending, pressure) / clampedPlateStress(bending, pressure);
  const deep = isSmall ? linear.deflection : clampedPlateLargeDeflection(bending, pressure);
  return {
    stressMpa: relief * clampedPlateStress({ radius: stressed, thickness }, pressure) * 1e-6,
    deflectionMm: deep * 1e3,
    bucklesKpa: null,
    valid: thickness <= THIN * width && deep <= MOST_WALLS_DEEP * thickness,
  };
}

/**
 * A flat panel while it is printed, its rim free at the film and held as far as it has got: strips
 * across its level width b, held at both ends (p·b²/(2·t²); p·b⁴/(384·D)), or up from where it begins, held there
 * alone (3·p·H²/t²; p·H⁴/(8·D)): the load takes the stiffer way.
 *
 * Source: beam theory with D = E·t³/(12·(1 − ν²)). That the stiffer way carries all is an estimate: of a
 * plate held on three sides the free edge bends as that strip does within a few hundredths (Timoshenko &
 * Woinowsky-Krieger, from memory), and less where both ways share. Small deflections.
 */
export function risingPanelState(
  levelMm: number,
  heightMm: number,
  kpa: number,
  { wallMm, modulus }: PanelStuff,
): PanelState {
  const mpa = kpa * 1e-3;
  const stiffness = (modulus * wallMm ** 3) / (12 * (1 - constants.poisson.value ** 2));
  const stressMpa = (mpa * Math.min(levelMm ** 2 / 2, 3 * heightMm ** 2)) / wallMm ** 2;
  const deflectionMm = (mpa * Math.min(levelMm ** 4 / 384, heightMm ** 4 / 8)) / stiffness;
  return { stressMpa, deflectionMm, bucklesKpa: null, valid: deflectionMm < wallMm / 2 };
}
