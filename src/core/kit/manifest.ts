import type { CutDecision, CutSide } from '../cut/cutDecision.ts';
import type { Coat, Fill } from '../filling/filling.ts';
import type { JointDecision } from '../joints/jointDecision.ts';
import type { Light, LightBore } from '../lights/light.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import type { StopperDecision } from '../openings/stopper.ts';
import type { PoseWeights } from '../pose/poseFigures.ts';
import type { BodyPiece } from '../scale/bodyPieces.ts';
import type { DerivedScale } from '../scale/deriveScale.ts';
import type { Attendance } from '../schedule/attendance.ts';
import type { ShowOutline } from '../showSide/showOutline.ts';
import type { SupportDecision } from '../supports/supportDecision.ts';
import type { TrueSize } from '../trueSize/trueSize.ts';
import type { Vec3 } from '../vector.ts';

/** Where a node stands in the manifest's text. Offsets are UTF-16; `line` and `column` 1-based. */
export interface SourceRange {
  readonly start: number;
  readonly end: number;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** A path of keys and indices from the manifest's root: `['parts', 'torso', 'vents', 0]`. */
export type ManifestPath = readonly (string | number)[];

/**
 * The manifest with every default filled in and every unusable value replaced by its default (the
 * unusable value is a finding). `rangeOf` finds the text a finding points at: the node at the path,
 * or the nearest parent that exists.
 */
export interface Manifest {
  readonly kit: string;
  readonly scale: Scale;
  readonly machine: Machine;
  readonly attendance: Attendance;
  readonly film: Film;
  readonly resins: ReadonlyMap<string, Resin>;
  readonly limits: Limits;
  /** How much each concern weighs when poses are proposed. */
  readonly pose: PoseWeights;
  /** How the figure stands, put together; null = the STL files do not share its frame. */
  readonly assembled: Assembled | null;
  /** What was decided about joints. */
  readonly joints: readonly JointDecision[];
  /** Planes at which parts are cut in two, by name. */
  readonly cuts: ReadonlyMap<string, CutDecision>;
  readonly parts: readonly Part[];
  /** How a part is held that says nothing of it and has no supports planned. */
  readonly usualSupports: SupportDecision;
  readonly plates: readonly Plate[];
  readonly lights: readonly Light[];
  readonly lightLimits: LightLimits;
  /** `machine.layer = 0.05 (default)`: every default that was used, for the report. */
  readonly assumptions: readonly Assumption[];
}

export interface Assumption {
  readonly key: string;
  readonly value: number | string;
  readonly unit: string;
  /** Published source, "common practice, no source" or "from memory". */
  readonly basis: string;
}

export interface Scale {
  readonly finished: string | null;
  /** Print mm per source unit; null when the manifest gives none that can be used. */
  readonly factor: number | null;
  /** How the factor follows from known lengths; null where it is given itself, or does not follow. */
  readonly derived: DerivedScale | null;
  /** Proportions of its own: not held against published bodies. */
  readonly stylised: boolean;
}

export interface Machine {
  readonly plate: readonly [number, number];
  readonly height: number;
  readonly layer: number;
  readonly margin: number;
  /** ml usable. */
  readonly vat: number;
  /** mm of resin above the film when full. */
  readonly resinDepth: number;
  /** mm of resin above the film below which printing is not safe. */
  readonly leastResinDepth: number;
  readonly lift: Lift;
  readonly exposure: Exposure;
}

export interface Lift {
  /** mm. */
  readonly distance: number;
  /** mm/min. */
  readonly up: number;
  readonly down: number;
  /** s per layer, all waits together. */
  readonly wait: number;
  /** Second stage after `distance` mm; null for a single-stage motion. */
  readonly second: { readonly distance: number; readonly up: number; readonly down: number } | null;
}

export interface Exposure {
  /** s. */
  readonly base: number;
  readonly baseLayers: number;
  readonly normal: number;
}

export interface Film {
  /** Peel pressure in kPa over solid area, calibrated by the builder or assumed. */
  readonly peel: number;
}

export interface Resin {
  readonly name: string;
  /** g/ml. */
  readonly density: number;
  readonly liquidDensity: number;
  /** mPa·s. */
  readonly viscosity: number;
  /** mN/m. */
  readonly surfaceTension: number;
  /** MPa, as printed, before curing. */
  readonly greenStrength: number;
  readonly greenModulus: number;
  /** ml in all bottles; null when not told. And in each, in the order in which they are opened; none when not told. */
  readonly onHand: number | null;
  readonly bottles: readonly number[];
  /** per litre, in the builder's currency; null when not told. */
  readonly price: number | null;
  readonly trueSize: TrueSize;
  /** % of the liquid of a print that is lost besides. */
  readonly waste: number;
}

/** Thresholds of the findings. Every one can be set in the manifest under `limits`. */
export interface Limits {
  /** N, pull of a layer. */
  readonly pull: number;
  /** N, suction of a cup. */
  readonly suction: number;
  /** Layers a cup may stay sealed. */
  readonly sealedLayers: number;
  /** Layers within which a cup must breathe. */
  readonly breatheLayers: number;
  /** mm under which solid is too thin. */
  readonly leastWall: number;
  /** mm that a wall may bend under suction. */
  readonly wallFlex: number;
  /** mm of solid in one place that is too thick to be left so. */
  readonly lump: number;
  /** ml below which a chamber is left solid. */
  readonly leastChamber: number;
  /** mm² above which a region closing over void is a large ceiling. */
  readonly ceiling: number;
  /** mm of free span that goes with it. */
  readonly ceilingSpan: number;
  /** Degrees from the plate that print without support. */
  readonly selfSupport: number;
  /** Ratio of the area of a layer to the one below (and `areaJumpMm2`) that is a jump. */
  readonly areaJump: number;
  readonly areaJumpMm2: number;
  /** mm² below which an island is not told as a finding. */
  readonly island: number;
  /** mm² under which a cup, at its widest, is not told as a finding. */
  readonly leastCup: number;
  /** ml of liquid that may stay in a chamber while the part hangs from the plate. */
  readonly trapped: number;
  /** ml that may stay in a chamber however it is held. */
  readonly left: number;
  /** mm: the lamp that cures inside, and how far it does; % of a chamber that may lie out of its sight. */
  readonly lamp: number;
  readonly lampReach: number;
  readonly unlit: number;
  /** mm: the narrowest and the longest way of a rinse; ml that may lie beyond. */
  readonly rinseWay: number;
  readonly rinseReach: number;
  readonly unrinsed: number;
  /** mm across which faces of two parts are a joint; the least and the greatest gap of one, and how deep parts may overlap. */
  readonly jointReach: number;
  readonly jointTight: number;
  readonly jointLoose: number;
  readonly jointClash: number;
  /** % by which lengths, and mm by which base layers, may come out otherwise where no coupon told. */
  readonly possibleShrinkage: number;
  readonly possibleSpread: number;
  /** Degrees by which what the figure stands on may be tilted before it falls. */
  readonly tipAngle: number;
  /** Largest triangle count read. */
  readonly triangles: number;
}

/** Limits of what is told about lights; those that change no figure of a part. */
export interface LightLimits {
  /** mm that one may run outside of its parts at a joint. */
  readonly gapMm: number;
  /** % of the supply. */
  readonly dropPercent: number;
  readonly heatW: number;
}

/** A region that the hollow leaves solid: a ball or a box along the STL's axes. One of the two sizes is null. */
export interface KeepSolid {
  /** In the manifest's list. */
  readonly index: number;
  /** Source coordinates. */
  readonly at: Vec3;
  /** Print mm. */
  readonly radius: number | null;
  readonly size: Vec3 | null;
}

export interface Part {
  readonly name: string;
  /** As written, relative to the kit folder, `/` separated; null when missing or unusable. */
  readonly file: string | null;
  /** Cuts, made one after the other, and the half of each that the part is; null = not described. */
  readonly cuts: readonly {
    readonly name: string;
    readonly side: CutSide;
    readonly cut: CutDecision | null;
  }[];
  /** What it is of a body, as told or by its name; null = nothing that is known. */
  readonly body: BodyPiece | null;
  readonly turn: Vec3;
  readonly raise: number;
  /** How it is held for the wash, degrees as of `turn`; null = the best is searched. */
  readonly wash: Vec3 | null;
  /** mm, or null for solid. */
  readonly wall: number | null;
  /** Null = held by the slicer, or by nothing. */
  readonly supports: SupportDecision | null;
  readonly keepSolid: readonly KeepSolid[];
  readonly openings: readonly OpeningDecision[];
  /** Of the lights that are cut through it, in their order. */
  readonly lights: readonly LightBore[];
  /** What the viewer of the figure sees; source coordinates. */
  readonly show: readonly ShowOutline[];
  /** Of the openings that get one, in their order. */
  readonly stoppers: readonly StopperDecision[];
  /** What its chambers are filled and lined with after printing. */
  readonly fill: Fill | null;
  readonly coat: Coat | null;
  readonly resin: string | null;
  /** How many are printed as sculpted, and how many as mirror images. */
  readonly count: number;
  readonly mirrored: number;
}

export interface Assembled {
  /** What is up as the figure stands, source axes; any length but nil. */
  readonly up: Vec3;
}

/** Parts that are printed together. */
export interface Plate {
  readonly name: string;
  /** mm between them. */
  readonly gap: number;
  readonly parts: readonly PlatedPart[];
}

export interface PlatedPart {
  /** In the manifest's list. */
  readonly index: number;
  readonly part: string;
  /** mm from the plate's middle; null = wherever there is room. */
  readonly at: readonly [number, number] | null;
  /** Degrees about z; null = not told. */
  readonly spin: number | null;
}
