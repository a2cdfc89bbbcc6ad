import type { Section } from './circularSegment.ts';
import { constants } from './constants.ts';

/** SI: Pa·s and kg/m³. */
export interface Fluid {
  readonly viscosity: number;
  readonly density: number;
}

/** Pressure drop of one vent as a function of its flow: `linear`·Q + `quadratic`·Q² in Pa, Q in m³/s. */
export interface VentResistance {
  readonly linear: number;
  readonly quadratic: number;
}

/**
 * Resistance of a hole of section `section` and bore length `length` (m):
 * µ·[3/r³ + 8·L/(π·r⁴)]·Q + ½·ρ·(Q/(C_d·A))².
 *
 * Sources: entrance and exit in creeping flow Sampson 1891 (doi 10.1098/rsta.1891.0012); wall friction
 * Hagen–Poiseuille; their sum within about 1 % for any length (Dagan, Weinbaum & Pfeffer 1982, from
 * memory); adding the inertia of a sharp orifice is engineering practice (strictly Re ≲ 1, used to about
 * 30). A hole that is not round counts as A/(π·r²) holes of its hydraulic radius r side by side: friction
 * is then that of the hydraulic diameter, and a slit's entrance comes out 8 % below Roscoe 1949 (from
 * memory).
 */
export function ventResistance(section: Section, length: number, fluid: Fluid): VentResistance {
  const radius = section.hydraulicDiameter / 2;
  const square = radius * radius;
  const holes = section.area / (Math.PI * square);
  const oneHole = 3 / (square * radius) + (8 * length) / (Math.PI * square * square);
  const orifice = constants.discharge.value * section.area;
  return {
    linear: (fluid.viscosity * oneHole) / holes,
    quadratic: (0.5 * fluid.density) / (orifice * orifice),
  };
}

/** Pa at a flow of `flow` m³/s. */
export function ventPressureDrop(vent: VentResistance, flow: number): number {
  return vent.linear * flow + vent.quadratic * flow * flow;
}

/** m³/s at a pressure drop of `drop` Pa; the form that loses no digits when either term is small. */
export function ventFlow(vent: VentResistance, drop: number): number {
  const root = Math.sqrt(vent.linear * vent.linear + 4 * vent.quadratic * drop);
  return drop > 0 ? (2 * drop) / (vent.linear + root) : 0;
}
