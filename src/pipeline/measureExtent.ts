import { type Result, success } from '../core/result.ts';
import type { Box } from '../core/vector.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

/** Bounds of a part's file, source coordinates; nothing but its mesh is needed for that. */
export function measureExtent(request: PartRequest, context: StageContext): Promise<Result<Box>> {
  return withStages(request, context, false, async (stages): Promise<Result<Box>> => {
    const prepared = await stages.prepared();
    return prepared.ok ? success(prepared.value.topology.bounds) : prepared;
  });
}
