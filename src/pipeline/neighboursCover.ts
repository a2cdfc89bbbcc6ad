import { boundsOf } from '../core/mesh/boundsOf.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import { lineHits } from '../core/openings/lineHits.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { success } from '../core/result.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

/** A surface within this of another part's, as printed, lies against it: joints have a little play. Engineering choice. */
const AGAINST_MM = 1.5;

interface Neighbour {
  readonly name: string;
  readonly surface: SurfaceIndex;
  readonly bounds: Box;
}

/**
 * Tells by which part of the kit a point of this part's surface is covered once the figure is assembled:
 * the first whose solid holds it or lies against it. Points in the sculptor's own coordinates, which the
 * parts share. Parts that cannot be read cover nothing.
 */
export async function neighboursCover(
  request: PartRequest,
  others: readonly PartRequest[],
  context: StageContext,
): Promise<(at: Vec3) => string | null> {
  const reach = AGAINST_MM / request.factor;
  const own = await cleanMesh(request, context);
  if (!own.ok) return () => null;
  const neighbours: Neighbour[] = [];
  for (const other of others) {
    const found = await cleanMesh(other, context);
    // A kit of forty parts is not held in memory for the few that touch.
    if (!found.ok || !areNear(found.value.bounds, own.value.bounds, reach)) continue;
    const { mesh, bounds } = found.value;
    neighbours.push({ name: other.name, surface: buildSurfaceIndex(mesh), bounds });
  }
  return (at) => neighbours.find((neighbour) => covers(neighbour, at, reach))?.name ?? null;
}

const cleanMesh = (request: PartRequest, context: StageContext) =>
  withStages(request, context, false, async (stages) => {
    const prepared = await stages.prepared();
    if (!prepared.ok) return prepared;
    const mesh = prepared.value.clean;
    return success({ mesh, bounds: boundsOf(mesh.positions) });
  });

const areNear = (a: Box, b: Box, reach: number): boolean =>
  a.min.every((low, axis) => low <= b.max[axis]! + reach && a.max[axis]! >= b.min[axis]! - reach);

function covers({ surface, bounds }: Neighbour, at: Vec3, reach: number): boolean {
  const isNear = at.every((c, axis) => c >= bounds.min[axis]! - reach && c <= bounds.max[axis]! + reach);
  if (!isNear) return false;
  if (closestOnSurface(surface, at).distanceMm <= reach) return true;
  // More ways out of the solid than into it lie ahead of a point inside.
  const ahead = lineHits(surface, at, [0.36, 0.48, 0.8], 0, Infinity);
  return ahead.reduce((sum, { entering }) => sum + (entering ? -1 : 1), 0) > 0;
}
