import { roundSection } from './circularSegment.ts';
import { constants } from './constants.ts';
import { type Fluid, type VentResistance, ventFlow, ventResistance } from './ventResistance.ts';

/** A hollow that empties through one round hole while another lets air in. SI units. */
export interface Drain {
  /** m², constant over the height drained. */
  readonly area: number;
  readonly diameter: number;
  /** Bore length in m; the driving head is counted from its exit, `length` below the hollow's floor. */
  readonly length: number;
  /** m above the hole's inner end, at the start and at the end. */
  readonly from: number;
  readonly to: number;
}

/**
 * Seconds when friction alone holds the flow: τ·ln(H₀/H₁), τ = A·R/(ρ·g), H = level + bore length.
 *
 * Source: Hagen–Poiseuille and Sampson, integrated. The full Sampson term is conservative for a free
 * discharge into air. The film left on the walls is not counted.
 */
export function viscousDrainTime(drain: Drain, fluid: Fluid): number {
  const { linear } = resistance(drain, fluid);
  const tau = (drain.area * linear) / (fluid.density * constants.gravity.value);
  return tau * Math.log((drain.from + drain.length) / (drain.to + drain.length));
}

/**
 * Seconds with friction and inertia: ρ·g·H = R·Q + ½·ρ·(Q/(C_d·a))². Since dH = (α + 2·β·Q)·dQ, the
 * integral of A·dH/Q has the closed form A·[α·ln(Q₀/Q₁) + 2·β·(Q₀ − Q₁)].
 */
export function drainTime(drain: Drain, fluid: Fluid): number {
  const vent = resistance(drain, fluid);
  const weight = fluid.density * constants.gravity.value;
  const start = ventFlow(vent, weight * (drain.from + drain.length));
  const end = ventFlow(vent, weight * (drain.to + drain.length));
  const integral = vent.linear * Math.log(start / end) + 2 * vent.quadratic * (start - end);
  return (drain.area * integral) / weight;
}

function resistance(drain: Drain, fluid: Fluid): VentResistance {
  return ventResistance(roundSection(drain.diameter), drain.length, fluid);
}
