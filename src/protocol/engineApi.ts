import type { SplitProposalReport } from '../core/cut/splitReport.ts';
import type { PinsProposal } from '../core/joints/pinsProposal.ts';
import type { Finding } from '../core/kit/finding.ts';
import type { Calibration } from '../core/kit/journal/calibrate.ts';
import type { PrintEntry } from '../core/kit/journal/journal.ts';
import type { JournalReport } from '../core/kit/journal/journalReport.ts';
import type { ToldPrint } from '../core/kit/journal/printEntry.ts';
import type { LedgerChange } from '../core/kit/ledger/compareLedgers.ts';
import type { RemedyAsk } from '../core/kit/remedyAsk.ts';
import type { CheckReport, InspectReport, PartReport } from '../core/kit/report.ts';
import type { OpeningId } from '../core/openings/opening.ts';
import type { PlateReport } from '../core/plates/plateReport.ts';
import type { PoseProposalReport } from '../core/pose/poseReport.ts';
import type { ProofAsk, ProofKind } from '../core/proof/proofPlace.ts';
import type { ProposalReport } from '../core/propose/proposalReport.ts';
import type { RemedyAnswer } from '../core/propose/remedyAnswer.ts';
import type { ScaleReport } from '../core/scale/scaleReport.ts';
import type { ScheduleReport } from '../core/schedule/scheduleReport.ts';
import type { SupportsReport } from '../core/supports/supportsReport.ts';
import type { CouponMeasures } from '../core/trueSize/coupon.ts';
import type { CouponReading } from '../core/trueSize/readCoupon.ts';
import type { Vec3 } from '../core/vector.ts';
import type { OpeningCandidate, OpeningTrial } from './openingTrial.ts';
import type { PartScene, PartView } from './partView.ts';
import type { SupportCandidate, SupportTrial } from './supportTrial.ts';
import type { SurfacePiece } from './surfacePiece.ts';

/** What the engine process can be asked, by the extension host and by the command line alike. */
export type EngineMethods = {
  check: { params: CheckParams; progress: EngineProgress; result: CheckReport };
  inspect: { params: InspectParams; progress: EngineProgress; result: InspectReport };
  layers: { params: LayersParams; progress: EngineProgress; result: LayerTable };
  makeReady: { params: MakeReadyParams; progress: EngineProgress; result: ReadyReport };
  /** Writes a small piece of a part round the place that is in doubt. */
  proof: { params: ProofParams; progress: EngineProgress; result: ProofReport };
  proposePose: { params: ProposePoseParams; progress: EngineProgress; result: KitPoses };
  proposeSplit: { params: ProposeSplitParams; progress: EngineProgress; result: KitSplits };
  proposePlates: { params: ProposePlatesParams; progress: EngineProgress; result: KitPlates };
  /** A hole in both parts for every pin of the manifest. */
  proposePins: { params: ProposePinsParams; progress: EngineProgress; result: KitPins };
  propose: { params: ProposeParams; progress: EngineProgress; result: KitProposal };
  /** How parts are to be held, judged by the check with one decision after the other taken otherwise. */
  proposeSupports: { params: ProposeParams; progress: EngineProgress; result: KitSupports };
  /** A part with a candidate opening, out of what is kept of the part: quick once it has been viewed. */
  tryOpening: { params: TryOpeningParams; progress: EngineProgress; result: OpeningTrial };
  /** A part's supports with a candidate among them. */
  trySupport: { params: TrySupportParams; progress: EngineProgress; result: SupportTrial };
  /** Sets a kit against its ledger, and records it where that is asked for. */
  record: { params: RecordParams; progress: EngineProgress; result: RecordedKit };
  /** Writes the coupon that is printed and measured to learn how a resin comes out. */
  coupon: { params: CouponParams; progress: EngineProgress; result: WrittenFile };
  /** What a measured coupon tells of a resin, and the manifest with it. */
  readCoupon: { params: ReadCouponParams; progress: EngineProgress; result: CouponRead };
  /** One more print in the journal. */
  logPrint: { params: LogPrintParams; progress: EngineProgress; result: LoggedPrint };
  /** What the journal says of a part, and of the builder's own numbers. */
  journal: { params: JournalParams; progress: EngineProgress; result: KitJournal };
  /** How large a kit is printed, how that follows and what another size would change. */
  scale: { params: ScaleParams; progress: EngineProgress; result: KitScale };
  /** A change of the manifest that answers a finding and has to be looked for; nothing is written. */
  remedy: { params: RemedyParams; progress: EngineProgress; result: RemedyAnswer };
  /** The light outside of every part, for the picture of the whole figure. */
  kitSurfaces: { params: KitSurfacesParams; progress: KitSurfaceProgress; result: null };
  /** Writes a manifest for a folder that has none. */
  startKit: { params: StartKitParams; progress: never; result: StartedKit };
  /** The kit's prints one after the other, with resin, hours and top-ups. */
  schedule: { params: ScheduleParams; progress: EngineProgress; result: KitSchedule };
  explain: { params: ExplainParams; progress: EngineProgress; result: PartExplained };
  /** Sends everything as it comes, the refined surfaces last; the reply says that all was sent. */
  view: { params: ViewParams; progress: ViewProgress; result: null };
};

export interface KitSource {
  /** Absolute path of the kit folder. */
  readonly kitDir: string;
  /** The manifest as it stands in the editor; null = read `kit.yaml` from disk. */
  readonly manifestText: string | null;
}

export interface CheckParams extends KitSource {
  /** Part names; null = all. */
  readonly parts: readonly string[] | null;
  readonly noCache: boolean;
}

/** One STL without a manifest. Absent values take the manifest's defaults. */
export interface InspectParams {
  readonly file: string;
  readonly factor: number;
  readonly turn: Vec3;
  readonly raise: number;
  readonly wall: number | null;
  readonly layer: number;
  readonly noCache: boolean;
}

export type PartSource =
  | ({ readonly of: 'kit'; readonly part: string } & KitSource)
  | ({ readonly of: 'file' } & Omit<InspectParams, 'noCache'>);

export interface LayersParams {
  readonly source: PartSource;
  readonly noCache: boolean;
}

export interface ViewParams {
  readonly source: PartSource;
  /** Keys of the surfaces that the asking side has or is being sent: they are not sent again. */
  readonly held: readonly string[];
  readonly noCache: boolean;
}

/** One entry per layer from the plate. */
export interface LayerTable {
  readonly layerHeight: number;
  readonly areaMm2: Float64Array;
  readonly cupAreaMm2: Float64Array;
  readonly pullN: Float64Array;
  readonly overhangMm2: Float64Array;
  /** How many times its load the weakest tip, or the plate, can take (Infinity: nothing pulls); null where no supports are planned. */
  readonly reserve: Float64Array | null;
}

export interface MakeReadyParams extends KitSource {
  readonly parts: readonly string[] | null;
  /** Absolute path; null = `ready/` in the kit folder. */
  readonly out: string | null;
  readonly format: 'stl' | '3mf';
  /** Planned supports as a solid of their own, or united with the part. */
  readonly held: 'apart' | 'together';
  /** Plates to write; parts are then written only where they are named. Null = none. */
  readonly plates: { readonly names: readonly string[]; readonly format: 'stl' | '3mf' } | null;
  readonly evenWithErrors: boolean;
  readonly noCache: boolean;
}

export interface ProofParams extends KitSource {
  readonly part: string;
  /** A place in source coordinates; null = the worst region of the part. */
  readonly ask: ProofAsk | null;
  /** mm along each side; null = 30, or as much as an opening takes. */
  readonly size: number | null;
  /** Absolute path; null = `ready/` in the kit folder. */
  readonly out: string | null;
  readonly format: 'stl' | '3mf';
  readonly noCache: boolean;
}

export interface CouponParams extends KitSource {
  /** Absolute path; null = `ready/` in the kit folder. */
  readonly out: string | null;
  readonly format: 'stl' | '3mf';
}

export interface ReadCouponParams extends KitSource {
  /** Its name in the manifest; null = the only one there is. */
  readonly resin: string | null;
  readonly measures: CouponMeasures;
  readonly write: boolean;
}

export interface CouponRead {
  readonly resin: string;
  readonly reading: CouponReading;
  readonly manifestText: string;
}

/** A proof piece. Places in the part's print frame, with source coordinates beside them. */
export interface ProofReport extends WrittenFile {
  readonly part: string;
  readonly kind: ProofKind;
  readonly opening: OpeningId | null;
  /** Why this place, and what to look for in the printed piece; a sentence each. */
  readonly why: string;
  readonly look: string;
  readonly at: Vec3;
  readonly at_source: Vec3;
  readonly size_mm: number;
  /** z in the part's print frame at which the piece was cut off below. */
  readonly cut_z_mm: number;
  readonly liquid_ml: number;
  readonly layers: number;
  readonly hours: number;
  /** Area of the first layer. */
  readonly stands_mm2: number;
  readonly starts_in_air: number;
  /** Bodies in the box that nothing in it holds together with the piece. */
  readonly left_out: { readonly bodies: number; readonly volume_ml: number };
  /** Peel of the piece's largest layer; the part's greatest whole pull in the layers of the piece. */
  readonly peel_n: number;
  readonly part_pull_n: number;
  readonly notes: readonly string[];
}

export interface ProposeParams extends KitSource {
  /** Part names; null = all that it is about: for openings those that are hollow. */
  readonly parts: readonly string[] | null;
  /** Put the proposal into the kit.yaml on disk. */
  readonly write: boolean;
  readonly noCache: boolean;
}

export interface ProposePoseParams extends KitSource {
  /** Part names; null = all. */
  readonly parts: readonly string[] | null;
  /** Number of the pose, from 1, that is put into the kit.yaml on disk for each of these parts; null = none. */
  readonly write: number | null;
  /** Pictures of the poses: written into an absolute folder, or, without one, sent along. Null = none. */
  readonly pictures: { readonly into: string | null } | null;
  readonly noCache: boolean;
}

export interface ProposeSplitParams extends KitSource {
  /** Part names; null = all. */
  readonly parts: readonly string[] | null;
  /** Put the best cut of each into the kit.yaml on disk. */
  readonly write: boolean;
  readonly noCache: boolean;
}

export interface ProposePlatesParams extends KitSource {
  /** Put the proposal into the kit.yaml on disk. */
  readonly write: boolean;
  readonly noCache: boolean;
}

export interface ProposePinsParams extends KitSource {
  /** Put the holes into the kit.yaml on disk. */
  readonly write: boolean;
  readonly noCache: boolean;
}

export interface KitPins extends PinsProposal {
  readonly kit: string;
  /** False when a pin has no holes, or the manifest cannot be edited. */
  readonly ok: boolean;
  /** Why the manifest was left alone; null when it can be edited. */
  readonly failed: string | null;
  /** The manifest as it would stand. */
  readonly manifestText: string;
}

export interface TryOpeningParams extends KitSource {
  readonly part: string;
  readonly candidate: OpeningCandidate;
}

export interface TrySupportParams extends KitSource {
  readonly part: string;
  readonly candidate: SupportCandidate;
}

export interface RemedyParams extends KitSource {
  readonly part: string;
  readonly ask: RemedyAsk;
  readonly noCache: boolean;
}

export interface KitProposal {
  readonly kit: string;
  /** False when something could not be proposed. */
  readonly ok: boolean;
  readonly parts: Readonly<Record<string, ProposalReport>>;
  readonly failed: readonly { readonly part: string; readonly message: string }[];
  /** The manifest as it would stand. */
  readonly manifestText: string;
}

export interface KitSupports {
  readonly kit: string;
  /** False when something could not be proposed. */
  readonly ok: boolean;
  readonly parts: Readonly<Record<string, SupportsReport>>;
  readonly failed: readonly { readonly part: string; readonly message: string }[];
  /** The manifest as it would stand. */
  readonly manifestText: string;
}

export interface RecordParams extends KitSource {
  /** Write the ledger, where it is otherwise than the one on disk. */
  readonly write: boolean;
  readonly noCache: boolean;
}

export interface RecordedKit {
  readonly kit: string;
  readonly report: CheckReport;
  /** Absolute path of the ledger. */
  readonly file: string;
  /** The ledger as it is computed now, and the one that was there; null where none was. */
  readonly text: string;
  readonly was: string | null;
  /** From the ledger that was there to this one; null where none was, or none that can be read. */
  readonly changes: readonly LedgerChange[] | null;
}

export interface LogPrintParams extends KitSource, ToldPrint {
  readonly part: string;
  /** Absolute, or relative to the kit folder; null = none. */
  readonly photo: string | null;
  readonly noCache: boolean;
}

export interface LoggedPrint {
  readonly kit: string;
  /** Absolute path of the journal. */
  readonly file: string;
  readonly entry: PrintEntry;
}

export interface JournalParams extends KitSource {
  /** The part that prints are to be like; null = none is asked about. */
  readonly part: string | null;
  /** The number of the manifest that is taken over from the prints; null = none is. */
  readonly write: Calibration['key'] | null;
  readonly noCache: boolean;
}

export interface KitJournal extends JournalReport {
  readonly kit: string;
  /** The number that was taken over; null where none was, or the prints give no reason for another. */
  readonly written: Calibration['key'] | null;
}

export interface ScaleParams extends KitSource {
  /** The height that the finished kit is to have, mm; null = as it stands in the manifest. */
  readonly heightMm: number | null;
  /** Put that height into the kit.yaml on disk. */
  readonly write: boolean;
  /** Another factor, to be told what it would change; null = none. */
  readonly tryFactor: number | null;
  readonly noCache: boolean;
}

export interface KitScale extends ScaleReport {
  readonly kit: string;
  /** Parts that could not be read, and so are not in the size. */
  readonly failed: readonly { readonly part: string; readonly message: string }[];
  /** What is found of the scale by the manifest alone, a sentence each. */
  readonly told: readonly string[];
  /** What the check says otherwise at the factor that was tried; null where none was. */
  readonly changes: readonly LedgerChange[] | null;
}

export interface KitSurfacesParams extends KitSource {
  /** Keys of the surfaces that need not be sent. */
  readonly held: readonly string[];
  readonly noCache: boolean;
}

export interface StartKitParams {
  /** Absolute path. */
  readonly folder: string;
}

export interface StartedKit {
  /** Absolute path of the new manifest. */
  readonly file: string;
  readonly parts: readonly { readonly name: string; readonly file: string }[];
  /** STL files that it cannot name, and why. */
  readonly left: readonly { readonly file: string; readonly why: string }[];
  /** There may be more STL files than were looked at. */
  readonly more: boolean;
}

export interface KitPoses {
  readonly kit: string;
  /** False when something could not be proposed, or a part fits in no pose. */
  readonly ok: boolean;
  readonly parts: Readonly<Record<string, PoseProposalReport>>;
  /** By part, where they were asked for: of it as it is, then of each pose, an absolute path or a PNG in base64. */
  readonly pictures: Readonly<Record<string, readonly string[]>>;
  readonly failed: readonly { readonly part: string; readonly message: string }[];
}

export interface KitSplits {
  readonly kit: string;
  /** False when something could not be proposed, or the halves of a part's best cut do not fit. */
  readonly ok: boolean;
  readonly parts: Readonly<Record<string, SplitProposalReport>>;
  /** By part that was cut: the parts that stand in its place, and the cut. */
  readonly written: Readonly<
    Record<string, { readonly back: string; readonly front: string; readonly cut: string }>
  >;
  readonly failed: readonly { readonly part: string; readonly message: string }[];
}

export interface KitPlates {
  readonly kit: string;
  /** False when what is proposed cannot be put into the manifest. */
  readonly ok: boolean;
  /** The new plates, the tallest first. */
  readonly plates: Readonly<Record<string, PlateReport>>;
  /** Parts, or copies of them, that are on no plate, and why. */
  readonly left: readonly { readonly part: string; readonly message: string }[];
  /** Why the manifest was left alone; null when it can be edited. */
  readonly failed: string | null;
  /** The manifest as it would stand. */
  readonly manifestText: string;
}

export interface ReadyReport {
  readonly kit: string;
  /** False when a part was refused. */
  readonly ok: boolean;
  readonly written: readonly ReadyFile[];
  readonly refused: readonly { readonly part: string; readonly message: string }[];
  readonly plates: readonly PlateFile[];
  readonly refused_plates: readonly { readonly plate: string; readonly message: string }[];
  readonly findings: CheckReport['findings'];
}

export interface ReadyFile {
  readonly part: string;
  /** Absolute path. */
  readonly file: string;
  readonly triangles: number;
  readonly volume_ml: number;
  readonly bytes: number;
  readonly sha256: string;
  readonly mirrored: boolean;
  /** What was done otherwise than usual, a sentence each. */
  readonly notes: readonly string[];
  /** Closing pieces of its openings, in one file beside it; null when none was made. */
  readonly stoppers: StopperFile | null;
  /**
   * Its supports and raft as a solid of their own in the same frame: in a file beside it, or in the part's
   * own where that is a 3MF. Null where none are planned, or where they are one solid with the part.
   */
  readonly supports: WrittenFile | null;
  /** How it is held; null where no supports are planned. */
  readonly held: 'apart' | 'together' | null;
}

export interface WrittenFile {
  /** Absolute path. */
  readonly file: string;
  readonly triangles: number;
  readonly volume_ml: number;
  readonly bytes: number;
  readonly sha256: string;
}

export interface PlateFile {
  readonly plate: string;
  /** Absolute path. */
  readonly file: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly items: readonly PlateItem[];
  /** What was done otherwise than usual, a sentence each. */
  readonly notes: readonly string[];
}

/** A part as it stands on a plate that was written. */
export interface PlateItem {
  readonly part: string;
  /** Its middle, from the plate's middle; degrees about z. */
  readonly at_mm: readonly [number, number];
  readonly spin_deg: number;
  readonly triangles: number;
  readonly volume_ml: number;
  /** Supports and raft, an object of their own; null where none are planned. */
  readonly supports: { readonly triangles: number; readonly volume_ml: number } | null;
}

export interface StopperFile extends WrittenFile {
  /** Left to right, row after row from the front of the plate. */
  readonly pieces: readonly StopperPiece[];
}

export interface StopperPiece {
  /** From 1, in the order in which they stand. */
  readonly number: number;
  readonly opening: OpeningId;
  /** Across, at the surface and at the foot. */
  readonly diameter_mm: number;
  readonly foot_mm: number;
  /** From the mouth to the foot. */
  readonly depth_mm: number;
  readonly clearance_mm: number;
  readonly taper_deg: number;
  readonly volume_ml: number;
  /** Centre of the foot on the plate of the file. */
  readonly at: Vec3;
}

export interface ExplainParams extends KitSource {
  readonly part: string;
  readonly noCache: boolean;
}

export interface ScheduleParams extends KitSource {
  /** Wall-clock milliseconds from which on there is time: the date and time there as if they were UTC. Null = no day is named. */
  readonly fromWallMs: number | null;
  readonly noCache: boolean;
}

export interface KitSchedule extends ScheduleReport {
  /** The same as a document. */
  readonly markdown: string;
}

export interface PartExplained {
  readonly part: string;
  /** False when an error was found. */
  readonly ok: boolean;
  /** The whole document, pictures included. */
  readonly markdown: string;
}

export type EngineProgress =
  | { readonly kind: 'stage'; readonly part: string; readonly stage: string; readonly fraction: number }
  | {
      readonly kind: 'part';
      readonly part: string;
      /** Null when the part could not be measured. */
      readonly report: PartReport | null;
      /** What is found about this part alone. Numbered within it: the kit's numbers come with the whole report. */
      readonly findings: readonly Finding[];
    };

export type KitSurfaceProgress =
  | EngineProgress
  /** Source axes at finished size, mm. */
  | { readonly kind: 'shape'; readonly part: string; readonly key: string }
  | { readonly kind: 'shapeless'; readonly part: string; readonly message: string }
  | { readonly kind: 'surface'; readonly piece: SurfacePiece };

export type ViewProgress =
  | EngineProgress
  /** Before the part is measured, when it takes longer than a moment: where its surfaces stand. */
  | { readonly kind: 'scene'; readonly scene: PartScene }
  | { readonly kind: 'surface'; readonly piece: SurfacePiece }
  | { readonly kind: 'view'; readonly view: PartView };
