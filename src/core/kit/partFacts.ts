import type { Seam } from '../cut/seam.ts';
import type { PosedDrain } from '../drainage/chamberDrain.ts';
import type { Lump } from '../field/cavity.ts';
import type { ThinSpot } from '../field/contourField.ts';
import type { Balance } from '../filling/balance.ts';
import type { LayerFigures } from '../layers/layerFigures.ts';
import type { LightFacts } from '../lights/lightPasses.ts';
import type { ShellFacts, TopologyReport } from '../mesh/topologyReport.ts';
import type { OpeningFacts } from '../openings/opening.ts';
import type { PartLoads } from '../physics/partLoads.ts';
import type { Footprint } from '../plates/footprint.ts';
import type { ChamberReach as Reach } from '../reach/chamberReach.ts';
import type { SupportFacts } from '../supports/supportPlan.ts';
import type { Box, Vec3 } from '../vector.ts';
import type { TrueWall } from '../walls/trueWall.ts';

/** Everything measured of one part as posed; what the geometry rules read and the report is made from. */
export interface PartFacts {
  readonly name: string;
  readonly mesh: MeshFacts;
  readonly hollow: HollowFacts;
  /** Print frame. */
  readonly trueWall: TrueWall;
  readonly openings: readonly OpeningFacts[];
  /** In the order of the manifest. */
  readonly lights: readonly LightFacts[];
  readonly layers: LayerFigures;
  readonly loads: PartLoads;
  readonly balance: Balance;
  /** By chamber, print frame; null for one without openings. */
  readonly reach: readonly (Reach | null)[];
  /** By chamber; null for one without openings. */
  readonly drains: readonly (PosedDrain | null)[];
  /** Null where none are planned. */
  readonly supports: SupportFacts | null;
  /** Supports and raft included where they are planned. */
  readonly footprint: Footprint;
}

export interface MeshFacts {
  /** Of the file as welded, before repair. */
  readonly topology: TopologyReport;
  readonly shells: readonly ShellFacts[];
  /** What was mended, a phrase each, for people. */
  readonly repaired: readonly string[];
  /** True when what is analysed is closed and consistently oriented (after repair). */
  readonly sound: boolean;
  /** True when the whole mesh was inside out and has been turned. */
  readonly insideOut: boolean;
  /** Of the part's cuts, in their order; print frame. */
  readonly seams: readonly Seam[];
  /** Print mm³ of the union, mm² of its skin. */
  readonly volumeMm3: number;
  readonly areaMm2: number;
  /** Posed bounds, print frame. */
  readonly bounds: Box;
  readonly sizeMm: Vec3;
  readonly centroid: Vec3;
  readonly doubledWalls: readonly DoubledWall[];
}

/** A patch where the surface stands twice, near-parallel and closer than a wall. Print frame. */
export interface DoubledWall {
  readonly areaMm2: number;
  readonly gapMm: number;
  readonly at: Vec3;
}

export interface HollowFacts {
  readonly wallMm: number | null;
  readonly chambers: readonly (ChamberFacts & ChamberReach)[];
  readonly leftSolid: readonly ChamberFacts[];
  /** Print frame; see `Cavity`. */
  readonly lumps: readonly Lump[];
  readonly thinnest: ThinSpot | null;
  /** In the order of the manifest. */
  readonly kept: readonly KeptFacts[];
  /** Only of a part without a chamber; see `Cavity`. */
  readonly deepestMm: number | null;
  /** Cured mm³ as if not hollowed, and after wall and openings. */
  readonly solidMm3: number;
  readonly resinMm3: number;
}

/** What a region of `keep-solid` keeps from being hollow, about; shared ground counts for the nearest. */
export interface KeptFacts extends ChamberFacts {
  /** In the manifest's list. */
  readonly index: number;
}

/** Lowest and highest point of a chamber, print frame, mm. */
export interface ChamberReach {
  readonly bottom: number;
  readonly top: number;
}

export interface ChamberFacts {
  readonly volumeMm3: number;
  /** Print frame. */
  readonly centroid: Vec3;
}
