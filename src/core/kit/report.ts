import type { FigureReport } from '../joints/figureReport.ts';
import type { JointReport } from '../joints/jointReport.ts';
import type { LightReport } from '../lights/lightReport.ts';
import type { OpeningId } from '../openings/opening.ts';
import type { PlateReport } from '../plates/plateReport.ts';
import type { Vec3 } from '../vector.ts';
import type { Finding } from './finding.ts';
import type { Assumption } from './manifest.ts';

/** Solid under `limits.least-wall`, on one side. */
export interface ThinReport {
  readonly thickness_mm: number;
  readonly area_mm2: number;
  readonly at: Vec3;
  readonly at_source: Vec3;
}

/**
 * The shape of `check --json` and `inspect --json`. Names and units are a contract: keys may be
 * added, never renamed. A value that does not apply is null. Every `at` is in the print frame.
 */
export interface PartReport {
  readonly mesh: {
    readonly triangles: number;
    readonly vertices: number;
    readonly shells: number;
    readonly watertight: boolean;
    readonly open_edges: number;
    readonly nonmanifold_edges: number;
    readonly misoriented_edges: number;
    readonly degenerate: number;
    readonly duplicates: number;
    readonly volume_ml: number;
    readonly area_mm2: number;
    readonly size_mm: Vec3;
    readonly centroid_mm: Vec3;
    readonly repaired: readonly string[];
    /** The cuts that left it, in their order. */
    readonly cuts: readonly {
      readonly name: string;
      readonly side: 'back' | 'front';
      /** False when the plane does not pass through it. */
      readonly made: boolean;
      readonly section_mm2: number;
      readonly keys: readonly { readonly diameter_mm: number; readonly at: Vec3; readonly at_source: Vec3 }[];
    }[];
    /** Sheets of the sculpt under `limits.least-wall`. */
    readonly thin_sheets: readonly ThinReport[];
  };
  readonly hollow: {
    readonly wall_mm: number | null;
    readonly solid_ml: number;
    readonly resin_ml: number;
    readonly thinnest_wall_mm: number | null;
    readonly thinnest: { readonly wall_mm: number; readonly at: Vec3; readonly at_source: Vec3 } | null;
    readonly chambers: readonly {
      readonly volume_ml: number;
      readonly openings: readonly OpeningId[];
      readonly trapped_ml: number;
      /** How it empties when it is held for the wash so that least stays; null without openings. */
      readonly drains: {
        /** Degrees about x, then y, then z that bring the sculpt into that attitude, and what is down in it. */
        readonly turn: Vec3;
        readonly down_source: Vec3;
        /** The same in words, as seen from the plate. */
        readonly attitude: string;
        /** A better attitude than the one the manifest asks for, and what stays in it; null where there is none, or none is asked for. */
        readonly better: { readonly turn: Vec3; readonly left_ml: number } | null;
        readonly left_ml: number;
        readonly retained_ml: number;
        /** Null where no air comes in by an opening of its own. */
        readonly seconds: number | null;
        readonly air: 'other' | 'wide' | 'tilted' | 'none';
        readonly by_opening: readonly {
          readonly id: OpeningId;
          readonly drained_ml: number;
          readonly seconds: number;
        }[];
        readonly pond: {
          readonly ml: number;
          readonly at: Vec3;
          readonly at_source: Vec3;
          readonly holds: OpeningId | null;
        } | null;
        readonly hanging_left_ml: number;
      } | null;
      /** How far its openings reach; null without any. */
      readonly reach: {
        readonly smallest_opening_mm: number;
        readonly farthest_mm: number;
        readonly farthest_at: Vec3;
        readonly unlit_ml: number;
        readonly unlit_at: Vec3 | null;
        readonly unrinsed_ml: number;
        readonly unrinsed_at: Vec3 | null;
      } | null;
      readonly at: Vec3;
      readonly at_source: Vec3;
    }[];
    /** The thickest ball of solid where a hollow was left solid; null where none is thicker than two walls. */
    readonly thickest: {
      readonly thickness_mm: number;
      readonly volume_ml: number;
      readonly at: Vec3;
      readonly at_source: Vec3;
    } | null;
    readonly webs: readonly ThinReport[];
    readonly spikes: readonly ThinReport[];
    readonly loose: readonly { readonly volume_ml: number; readonly at: Vec3; readonly at_source: Vec3 }[];
    readonly kept: readonly { readonly volume_ml: number; readonly at: Vec3; readonly at_source: Vec3 }[];
    readonly left_solid: readonly {
      readonly volume_ml: number;
      readonly at: Vec3;
      readonly at_source: Vec3;
    }[];
  };
  /** Weight of the part as printed and as filled. Null where nothing is put in. */
  readonly balance: {
    readonly shell_g: number;
    readonly fill: {
      readonly name: string;
      readonly level: number;
      readonly chambers: readonly { readonly volume_ml: number; readonly mass_g: number }[];
    } | null;
    readonly coat: {
      readonly name: string;
      readonly thickness_mm: number;
      readonly chambers: readonly { readonly volume_ml: number; readonly mass_g: number }[];
    } | null;
    readonly total_g: number;
    /** Centre of mass. */
    readonly at: Vec3;
    readonly at_source: Vec3;
  };
  readonly layers: {
    readonly count: number;
    readonly layer_mm: number;
    readonly peak_area_mm2: number;
    readonly peak_area_layer: number;
  };
  readonly islands: readonly {
    readonly layer: number;
    readonly area_mm2: number;
    readonly at: Vec3;
    readonly at_source: Vec3;
    readonly inside: boolean;
  }[];
  readonly cups: readonly {
    readonly from_layer: number;
    readonly to_layer: number;
    readonly sealed_layers: number;
    readonly joins_layer: number | null;
    readonly breathes_layer: number | null;
    readonly peak_area_mm2: number;
    readonly peak_pull_n: number;
    readonly peak_pull_layer: number;
    readonly breather: OpeningId | 'mesh' | null;
    /** Of the peak: what holds the flow back, the stage of the lift (1 or 2), the squeeze alone. */
    readonly limited_by: OpeningId | 'mesh' | 'neck' | 'sealed' | 'squeeze' | null;
    readonly lift_stage: number;
    readonly squeeze_pull_n: number;
    /** Of one round vent at the start of the limb; null when none is needed or none would do. */
    readonly needed_diameter_mm: number | null;
    readonly held_ml: number;
    readonly at: Vec3;
    readonly at_source: Vec3;
  }[];
  /** Walls under suction and peel, the most strained first, a dozen at most. */
  readonly walls: readonly {
    readonly chamber: number;
    readonly assumed: string;
    readonly span_mm: number;
    readonly length_mm: number;
    readonly radius_mm: number | null;
    readonly load: 'suction' | 'peel';
    /** The suction of a cup that is never opened: the atmosphere's. */
    readonly sealed: boolean;
    readonly pressure_kpa: number;
    readonly stress_mpa: number;
    readonly deflection_mm: number;
    readonly buckles_kpa: number | null;
    readonly bears_kpa: number;
    /** The formula holds there. */
    readonly valid: boolean;
    /** Largest share of a limit that is used. */
    readonly strain: number;
    readonly layer: number;
    readonly at: Vec3;
    readonly at_source: Vec3;
    readonly needed_wall_mm: number | null;
    readonly needed_vent_mm: number | null;
  }[];
  /** Null where none are planned. */
  readonly supports: SupportReport | null;
  readonly print: {
    /** With supports and raft; the mass is that of the part alone. */
    readonly resin_ml: number;
    readonly liquid_ml: number;
    readonly held_ml: number;
    readonly mass_g: number;
    readonly hours: number;
    readonly peak_pull_n: number;
    readonly peak_pull_layer: number;
    readonly vat_low_layer: number | null;
    /** What it covers on the plate, supports and raft included where they are planned. */
    readonly footprint_mm2: number;
    readonly count: number;
    readonly mirrored: number;
  };
}

export interface SupportReport {
  readonly count: number;
  /** Of them, how many stand on the part: inside, where no way leads to the plate. */
  readonly on_part: number;
  /** Slanted struts that keep others from buckling. */
  readonly ties: number;
  /** Starts that none gets to. */
  readonly unheld: number;
  /** Of struts, tips and raft, about. */
  readonly resin_ml: number;
  /** What the plan came to: distance of the tips, and up to which slope from the plate surface is held. */
  readonly spacing_mm: number;
  readonly held_slope_deg: number;
  /** How many times its load the weakest tip, or the plate, can take, and in which layer; null where nothing pulls. */
  readonly reserve: number | null;
  readonly reserve_layer: number | null;
  readonly tips: readonly {
    readonly at: Vec3;
    readonly at_source: Vec3;
    /** The layer that first rests on it. */
    readonly layer: number;
    readonly tip_mm: number;
    readonly strut_mm: number;
    /** Its longest stretch between foot, ties and tip. */
    readonly free_mm: number;
    /** Greatest pull on it, and its layer. */
    readonly load_n: number;
    readonly load_layer: number;
    readonly stands: 'plate' | 'part';
    readonly foot: Vec3;
    readonly on_show: boolean;
    /** Its place in `supports.by-hand`; null where it was planned. */
    readonly by_hand: number | null;
  }[];
}

export interface CheckReport {
  readonly kit: string;
  /** False when any finding is an error. */
  readonly ok: boolean;
  readonly parts: Readonly<Record<string, PartReport>>;
  /** Null for one of which a part was not measured. */
  readonly plates: Readonly<Record<string, PlateReport | null>>;
  /** Where parts that were measured meet; see `JointReport`. */
  readonly joints: readonly JointReport[];
  /** The figure put together; null where only some parts were asked for, or `assembled: no`. */
  readonly assembled: FigureReport | null;
  /** Null for one that cannot be followed: the manifest does not say how large it is printed. */
  readonly lights: Readonly<Record<string, LightReport | null>>;
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
}

export interface InspectReport {
  readonly file: string;
  readonly ok: boolean;
  readonly part: PartReport;
  readonly findings: readonly Finding[];
  readonly assumptions: readonly Assumption[];
}
