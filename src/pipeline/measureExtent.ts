import { type Result, success } from '../core/result.ts';
import { extentAlong, type Span } from '../core/scale/extentAlong.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

export interface ExtentRequest extends PartRequest {
  /** What is up as the figure stands, source axes. */
  readonly up: Vec3;
}

/** How large a part's file is, source coordinates. */
export interface Extent {
  readonly box: Box;
  readonly upward: Span;
}

/** Nothing but its mesh is needed for that. */
export function measureExtent(request: ExtentRequest, context: StageContext): Promise<Result<Extent>> {
  return withStages(request, context, false, async (stages): Promise<Result<Extent>> => {
    const prepared = await stages.prepared();
    if (!prepared.ok) return prepared;
    const { topology, clean } = prepared.value;
    const upward = extentAlong(clean, request.up, context.stage('standing it up'));
    return success({ box: topology.bounds, upward });
  });
}
