import type { Vec3 } from '../vector.ts';

/** A tube for wires or fibres that runs through one or more parts, as the builder decided it. */
export interface Light {
  readonly name: string;
  /** Points that its middle line passes, source coordinates; at least two. */
  readonly path: readonly Vec3[];
  /** Print mm. */
  readonly diameter: number;
  /** Solid round the tube inside a hollow, and what it keeps to the outside, mm. */
  readonly lining: number;
  /** Parts it is cut through, with their place in the manifest's list. */
  readonly through: readonly { readonly index: number; readonly part: string }[];
  /** Null = not told. */
  readonly carries: Carried | null;
  /** mm across at its widest: what has to be threaded through; null = not told. */
  readonly connector: number | null;
  readonly leds: Leds | null;
}

export interface Carried {
  readonly kind: 'fibre' | 'cable';
  /** Over its jacket, mm. */
  readonly diameter: number;
  readonly count: number;
  /** mm at the inside of the bend, by its data sheet; null = by rule. */
  readonly bendRadius: number | null;
}

/** LEDs side by side on one pair of wires, each with a resistor or driver of its own. */
export interface Leds {
  readonly count: number;
  /** mA and V of each. */
  readonly currentMa: number;
  readonly forwardV: number;
  readonly supplyV: number;
  /** AWG; null where the section is told. */
  readonly gauge: number | null;
  /** mm² of copper; null where the gauge is told. */
  readonly sectionMm2: number | null;
  /** One way from the supply to the LEDs, m. */
  readonly lengthM: number;
  /** mm across; null = not told. */
  readonly sizeMm: number | null;
}

/** What of a light a part must know to be hollowed and cut; points in source coordinates, sizes in print mm. */
export interface LightBore {
  readonly name: string;
  readonly path: readonly Vec3[];
  readonly radiusMm: number;
  readonly liningMm: number;
}
