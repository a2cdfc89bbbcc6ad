import { constants } from '../physics/constants.ts';
import { bearingDepth, bearingPressure } from '../physics/pinBearing.ts';
import { rodDiameter, rodStress } from '../physics/rodBending.ts';
import { rodMetals } from '../physics/rodMetals.ts';
import type { PinDecision } from './jointDecision.ts';
import type { JointLoad } from './jointLoads.ts';

/** A pin against its load: the weight beyond, square to the straight line to its centre, times `handling`. */
export interface PinStrength {
  readonly yieldMpa: number;
  readonly momentNm: number;
  /** The thinnest rod that bears it with its safety, mm. */
  readonly neededMm: number;
  /** As decided, else as needed. */
  readonly diameterMm: number;
  /** How many times its load the rod bears before it bends for good. */
  readonly reserve: number;
  /** How deep it must reach into each part so that the socket bears it, mm. */
  readonly neededDepthMm: number;
  readonly depthMm: number;
  /** Greatest pressure on the socket's wall, and what it may be, MPa. */
  readonly bearingMpa: number;
  readonly strengthMpa: number;
}

/** `strengthMpa`: of the weaker resin of both parts. */
export function pinStrength(load: JointLoad, pin: PinDecision, strengthMpa: number): PinStrength {
  const yieldMpa = pin.yieldMpa ?? rodMetals[pin.metal].yieldMpa;
  const forceN = (pin.handling * load.massG * constants.gravity.value) / 1000;
  const momentNm = (forceN * load.armMm) / 1000;
  const neededMm = 1000 * rodDiameter(momentNm, yieldMpa * 1e6, pin.safety);
  const diameterMm = pin.diameter ?? neededMm;
  const [diameter, strength] = [diameterMm / 1000, strengthMpa * 1e6];
  const neededDepthMm = 1000 * bearingDepth(forceN, momentNm, diameter, strength);
  const depthMm = pin.depth ?? neededDepthMm;
  return {
    yieldMpa,
    momentNm,
    neededMm,
    diameterMm,
    reserve: (yieldMpa * 1e6) / rodStress(momentNm, diameter),
    neededDepthMm,
    depthMm,
    bearingMpa: bearingPressure(forceN, momentNm, diameter, depthMm / 1000) / 1e6,
    strengthMpa,
  };
}
