import { type VentResistance, ventFlow } from './ventResistance.ts';

/**
 * Pressure drop in Pa at which vents side by side carry `flow` m³/s together: the root of
 * Σ Qᵢ(Δp) = Q. Infinite without vents.
 *
 * Σ Qᵢ is increasing and concave in Δp, and the drop without inertia lies left of the root, so Newton's
 * steps from there climb to it and cannot overshoot, however unequal the vents are.
 */
export function parallelVents(vents: readonly VentResistance[], flow: number): number {
  if (vents.length === 0) return Number.POSITIVE_INFINITY;
  let drop = flow / vents.reduce((sum, vent) => sum + 1 / vent.linear, 0);
  for (let step = 0; step < maxSteps; step++) {
    const next = drop + newtonStep(vents, flow, drop);
    if (!(next > drop * (1 + tolerance))) return next;
    drop = next;
  }
  return drop;
}

const maxSteps = 100;
const tolerance = 1e-12;

function newtonStep(vents: readonly VentResistance[], flow: number, drop: number): number {
  let missing = flow;
  let slope = 0;
  for (const vent of vents) {
    missing -= ventFlow(vent, drop);
    slope += 1 / Math.sqrt(vent.linear * vent.linear + 4 * vent.quadratic * drop);
  }
  return missing / slope;
}
