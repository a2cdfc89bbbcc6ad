import { type CoarsePart, keptCoarsePart } from '../pipeline/coarsePart.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import type { KitSurfaceProgress, KitSurfacesParams } from '../protocol/engineApi.ts';
import type { CallContext } from '../protocol/rpc.ts';
import { cutIntoPieces } from '../protocol/surfacePiece.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';

/**
 * `kitSurfaces`: the outside of every part as a light surface, in the place where it was sculpted. What is kept comes
 * first, in the manifest's order; the rest as it is made, before the checks that wait.
 */
export async function kitSurfaces(
  params: KitSurfacesParams,
  { pool, call }: EngineContext & { readonly call: CallContext<KitSurfaceProgress> },
): Promise<null> {
  const { manifest } = await kitManifest(params);
  const held = new Set(params.held);
  const send = (part: string, { key, fullTriangles, levels }: CoarsePart): void => {
    call.progress({ kind: 'shape', part, key });
    // Copies and parts that share a file have one surface.
    if (held.has(key)) return;
    held.add(key);
    for (const piece of cutIntoPieces({ key, refined: true, fullTriangles, levels })) {
      call.progress({ kind: 'surface', piece });
    }
  };
  const fail = (part: string, message: string): void => call.progress({ kind: 'shapeless', part, message });
  /** Parts that have one surface, together. */
  const missing = new Map<string, PartRequest[]>();
  for (const part of manifest.parts) {
    const request = partRequestOf(manifest, part, params.kitDir, params.noCache);
    if (request === null) {
      fail(part.name, 'kit.yaml does not say enough of it to draw it.');
      continue;
    }
    const kept = await keptCoarsePart(request);
    if (kept !== null) {
      send(part.name, kept);
      continue;
    }
    const surface = JSON.stringify([request.path, request.cuts]);
    missing.set(surface, [...(missing.get(surface) ?? []), request]);
  }
  // An urgent job goes before all that wait, so the first part is asked for last.
  const made = [...missing.values()].reverse().map(async (alike) => {
    const [request] = alike as [PartRequest, ...PartRequest[]];
    const result = await pool.run('coarse', request, partJob(request.name, request, call, true));
    for (const { name } of alike) {
      if (result.ok) send(name, result.value);
      else fail(name, result.error.message);
    }
  });
  const settled = await Promise.allSettled(made);
  for (const outcome of settled) if (outcome.status === 'rejected') throw outcome.reason;
  return null;
}
