import type { Leds } from './light.ts';

/** What the wires of a light do. */
export interface LedRun {
  /** Of all LEDs together, A; and what the supply should be able to give. */
  readonly currentA: number;
  readonly supplyA: number;
  /** Of one wire, Ω. */
  readonly wireOhm: number;
  /** Lost in both wires, V. */
  readonly dropV: number;
  /** What arrives at the LEDs, V; with resistor and all, W. */
  readonly arrivesV: number;
  readonly powerW: number;
  /** What becomes heat at the LEDs themselves, nearly all of it, W. */
  readonly ledW: number;
  readonly copperMm2: number;
  /** A that the wires may carry all day. */
  readonly wireA: number;
}

/**
 * ASTM B258: AWG 36 is 0.005 in and AWG 0000 is 0.46 in across, in 39 equal ratios; so d = 0.127 mm · 92^((36 − n)/39).
 */
export function gaugeDiameterMm(gauge: number): number {
  return 0.127 * 92 ** ((36 - gauge) / 39);
}

/** IEC 60028: annealed copper has 1/58 Ω·mm²/m at 20 °C, and 0.00393 of it more a degree. */
const COPPER_OHM_MM2_PER_M = 1 / 58;
const COPPER_PER_KELVIN = 0.00393;
/** As NEC chapter 9, table 8 has it: a wire in a warm, closed place. */
const WIRE_CELSIUS = 75;
/** Of a wire named by its section, which may have less copper than its name: IEC 60228 class 5 allows 39.0 Ω/km for 0.5 mm², 1.13 times as much; from memory. */
const NOMINAL_SECTION = 1.16;
/** 700 circular mils an ampere: the cautious column of handbook tables, for wires in bundles; from memory. */
const CIRCULAR_MILS_PER_A = 700;
const CIRCULAR_MIL_MM2 = (Math.PI / 4) * 0.0254 ** 2;
/** A supply that runs all day carries 80 % of what it is rated for: NEC 210.20(A), 125 % of a continuous load; from memory. */
const SUPPLY_SHARE = 0.8;

/** Ω of a metre of copper wire at 75 °C. */
export function ohmPerMetre({ gauge, sectionMm2 }: Pick<Leds, 'gauge' | 'sectionMm2'>): number {
  const warm = COPPER_OHM_MM2_PER_M * (1 + COPPER_PER_KELVIN * (WIRE_CELSIUS - 20));
  return gauge === null ? (NOMINAL_SECTION * warm) / sectionMm2! : warm / gaugeSection(gauge);
}

const gaugeSection = (gauge: number): number => (Math.PI / 4) * gaugeDiameterMm(gauge) ** 2;

/** Direct current; LEDs side by side, so their currents add up. The drop is that of the way there and back, 2·L·R·I. */
export function ledRun(leds: Leds): LedRun {
  const currentA = (leds.count * leds.currentMa) / 1000;
  const wireOhm = ohmPerMetre(leds) * leds.lengthM;
  const dropV = 2 * wireOhm * currentA;
  const copperMm2 = leds.gauge === null ? leds.sectionMm2! : gaugeSection(leds.gauge);
  return {
    currentA,
    supplyA: currentA / SUPPLY_SHARE,
    wireOhm,
    dropV,
    arrivesV: leds.supplyV - dropV,
    powerW: leds.supplyV * currentA,
    ledW: leds.forwardV * currentA,
    copperMm2,
    wireA: copperMm2 / CIRCULAR_MIL_MM2 / CIRCULAR_MILS_PER_A,
  };
}
