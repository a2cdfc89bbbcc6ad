import type { Affine } from '../core/affine.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { Result } from '../core/result.ts';
import type { PartResult } from '../pipeline/measurePart.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import type { PartGeometry } from '../pipeline/viewGeometry.ts';
import type { ReadyRequest } from '../pipeline/writeReady.ts';
import type { ReadyFile } from '../protocol/engineApi.ts';

/**
 * What the engine process asks of a worker thread, one job at a time. A failure of the part (its
 * file, its mesh) is a value; a rejected call is a failure of the engine.
 */
export type ThreadMethods = {
  measure: { params: Job<PartRequest>; progress: StageProgress; result: Result<PartResult> };
  view: { params: Job<PartRequest>; progress: StageProgress; result: Result<MeasuredView> };
  ready: { params: Job<ReadyRequest>; progress: StageProgress; result: Result<ReadyFile[]> };
};

export interface MeasuredView {
  readonly facts: PartFacts;
  readonly frame: Affine;
  readonly geometry: PartGeometry;
}

export interface Job<P> {
  readonly request: P;
  /** Int32 at index 0, shared: non-zero means stop. A busy thread cannot hear a message. */
  readonly stop: SharedArrayBuffer;
}

export interface StageProgress {
  readonly stage: string;
  readonly fraction: number;
}
