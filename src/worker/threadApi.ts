import type { Affine } from '../core/affine.ts';
import type { Footing } from '../core/joints/footing.ts';
import type { PinLine } from '../core/joints/pinLine.ts';
import type { GoodPlace } from '../core/openings/nearestGoodPlace.ts';
import type { PlateLayout } from '../core/plates/layOutPlate.ts';
import type { Proposal } from '../core/propose/proposeOpenings.ts';
import type { FoundWall } from '../core/propose/remedyAnswer.ts';
import type { Result } from '../core/result.ts';
import type { CoarsePart } from '../pipeline/coarsePart.ts';
import type { ExplainedPart, ExplainRequest } from '../pipeline/explainPart.ts';
import type { PlaceRequest } from '../pipeline/findPlace.ts';
import type { PlatesRequest } from '../pipeline/layOutPlates.ts';
import type { Extent, ExtentRequest } from '../pipeline/measureExtent.ts';
import type { FootingsRequest } from '../pipeline/measureFootings.ts';
import type { JointsRequest, MeasuredPair } from '../pipeline/measureJoints.ts';
import type { PartResult } from '../pipeline/measurePart.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import type { PinsRequest } from '../pipeline/placePins.ts';
import type { ProposedLayouts, ProposeLayoutsRequest } from '../pipeline/proposeLayouts.ts';
import type { ProposeRequest } from '../pipeline/proposePart.ts';
import type { ProposedPoses, ProposePosesRequest } from '../pipeline/proposePoses.ts';
import type { ProposedSplits, ProposeSplitRequest } from '../pipeline/proposeSplit.ts';
import type { TryRequest } from '../pipeline/tryOpening.ts';
import type { TrySupportRequest } from '../pipeline/trySupport.ts';
import type { MeasuredView, Picture, ViewRequest } from '../pipeline/viewPart.ts';
import type { CouponRequest } from '../pipeline/writeCoupon.ts';
import type { ReadyPlateRequest } from '../pipeline/writePlate.ts';
import type { ProofRequest, WrittenProof } from '../pipeline/writeProof.ts';
import type { ReadyRequest } from '../pipeline/writeReady.ts';
import type { PlateFile, ReadyFile, WrittenFile } from '../protocol/engineApi.ts';
import type { OpeningTrial } from '../protocol/openingTrial.ts';
import type { SupportTrial } from '../protocol/supportTrial.ts';
import type { StopFlag } from './stopFlag.ts';
import type { DonePart, Team } from './team.ts';

/**
 * What the engine process asks of a worker thread, one job at a time. A failure of the part (its
 * file, its mesh) is a value; a rejected call is a failure of the engine.
 */
export type ThreadMethods = {
  measure: { params: Job<PartRequest>; progress: StageProgress; result: Result<PartResult> };
  extent: { params: Job<ExtentRequest>; progress: StageProgress; result: Result<Extent> };
  view: { params: Job<ViewRequest>; progress: StageProgress | Picture; result: Result<MeasuredView> };
  coarse: { params: Job<PartRequest>; progress: StageProgress; result: Result<CoarsePart> };
  ready: { params: Job<ReadyRequest>; progress: StageProgress; result: Result<ReadyFile[]> };
  proof: {
    params: Job<ProofRequest>;
    progress: StageProgress;
    result: Result<WrittenProof & { readonly frame: Affine }>;
  };
  coupon: { params: Job<CouponRequest>; progress: StageProgress; result: Result<WrittenFile> };
  readyPlate: { params: Job<ReadyPlateRequest>; progress: StageProgress; result: Result<PlateFile> };
  explain: { params: Job<ExplainRequest>; progress: StageProgress; result: Result<ExplainedPart> };
  propose: { params: Job<ProposeRequest>; progress: StageProgress; result: Result<Proposal> };
  poses: { params: Job<ProposePosesRequest>; progress: StageProgress; result: Result<ProposedPoses> };
  split: { params: Job<ProposeSplitRequest>; progress: StageProgress; result: Result<ProposedSplits> };
  try: { params: Job<TryRequest>; progress: StageProgress; result: Result<OpeningTrial> };
  trySupport: { params: Job<TrySupportRequest>; progress: StageProgress; result: Result<SupportTrial> };
  proposePlates: { params: Job<ProposeLayoutsRequest>; progress: StageProgress; result: ProposedLayouts };
  layOut: { params: Job<PlatesRequest>; progress: StageProgress; result: PlateLayout[] };
  findPlace: { params: Job<PlaceRequest>; progress: StageProgress; result: Result<GoodPlace | null> };
  findWall: { params: Job<PartRequest>; progress: StageProgress; result: Result<FoundWall | null> };
  joints: { params: Job<JointsRequest>; progress: StageProgress; result: Result<MeasuredPair[]> };
  footings: { params: Job<FootingsRequest>; progress: StageProgress; result: Result<Footing[]> };
  pins: { params: Job<PinsRequest>; progress: StageProgress; result: Result<(PinLine | null)[]> };
  /** Nothing to tell: what the part's next edit needs is in memory. */
  preheat: { params: Job<PartRequest>; progress: StageProgress; result: Result<null> };
  /** Parts of another thread's job; what this thread has done of them. */
  help: { params: HelpRequest; progress: never; result: readonly DonePart[] };
};

/** What a thread asks of the pool in the midst of its job. */
export type PoolMethods = {
  /** Offers a task of the job to threads that are or become idle; what they have done of it, once they are back. */
  lend: { params: Team; progress: never; result: readonly DonePart[] };
  /** `WarmShelf` of the engine. */
  takeWarm: { params: { readonly name: string }; progress: never; result: SharedArrayBuffer | null };
  putWarm: {
    params: { readonly name: string; readonly block: SharedArrayBuffer };
    progress: never;
    result: null;
  };
  /** This thread holds what only its end gives back: let this job be its last. */
  spent: { params: null; progress: never; result: null };
};

export interface HelpRequest {
  readonly team: Team;
  readonly stop: StopFlag;
}

export interface Job<P> {
  readonly request: P;
  readonly stop: StopFlag;
}

export interface StageProgress {
  readonly stage: string;
  readonly fraction: number;
}
