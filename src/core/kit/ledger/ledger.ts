import type { OpeningId } from '../../openings/opening.ts';
import type { FindingCode } from '../findingTable.ts';

/** How often each code is told, codes in order. */
export type FindingCounts = Readonly<Partial<Record<FindingCode, number>>>;

/** What was computed of one part. Lengths mm, rounded as they are written. */
export interface LedgerPart {
  /** SHA-256 of its STL, as hexadecimals. */
  readonly stl: string;
  /** Of every decision that changes a figure of it, the machine's and the film's included: 16 hexadecimals. */
  readonly decisions: string;
  readonly size_mm: readonly [number, number, number];
  /** Null = solid. */
  readonly wall_mm: number | null;
  /** Diameters by id. */
  readonly openings: Readonly<Record<OpeningId, number>>;
  /** Null = the one that is taken where the manifest names none. */
  readonly resin: string | null;
  /** Of the bottle, supports and held resin included. */
  readonly liquid_ml: number;
  readonly mass_g: number;
  readonly hours: number;
  readonly layers: number;
  readonly pull_n: number;
  /** Of its worst cup. */
  readonly suction_n: number;
  /** Liquid that stays while it hangs. */
  readonly trapped_ml: number;
  /** Null where none are planned. */
  readonly supports: {
    readonly count: number;
    readonly widest_tip_mm: number;
    /** Null where nothing pulls. */
    readonly reserve: number | null;
  } | null;
  readonly findings: FindingCounts;
}

/** Where two parts meet. */
export interface LedgerJoint {
  /** Half of the faces that slide, or of all where none do, are nearer. */
  readonly gap_mm: number;
  /** How deep they lie in each other; 0 = not at all. */
  readonly overlap_mm: number;
}

/** What was computed of a kit: the record that is committed beside its decisions. */
export interface Ledger {
  readonly kit: string;
  /** In the order of the manifest; those that could not be measured are left out. */
  readonly parts: Readonly<Record<string, LedgerPart>>;
  /** By `torso, head`; absent where no parts meet, or none were looked for. */
  readonly joints?: Readonly<Record<string, LedgerJoint>>;
  /** The tilt at which the figure falls; absent where it is not put together. */
  readonly tip_deg?: number;
  /** What is told of the kit, and of parts that could not be measured, as a whole. */
  readonly findings: FindingCounts;
}
