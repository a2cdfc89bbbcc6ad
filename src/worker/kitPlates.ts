import { join } from 'node:path';
import type { Manifest, Plate } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { plateRoom } from '../core/kit/plateRoom.ts';
import { platedParts } from '../core/kit/rules/plateParts.ts';
import type { PlateLayout, PlateTask } from '../core/plates/layOutPlate.ts';
import type { PlateFacts } from '../core/plates/plateFacts.ts';
import { plateLoads } from '../core/plates/plateLoads.ts';
import { keptLayouts, type PlatesRequest } from '../pipeline/layOutPlates.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import type { EngineContext } from './engineContext.ts';
import type { JobOptions } from './workerPool.ts';

/** The plates whose parts have all been measured, laid out and summed up, by name. */
export async function kitPlates(
  manifest: Manifest,
  facts: ReadonlyMap<string, PartFacts>,
  kitDir: string,
  noCache: boolean,
  context: EngineContext,
): Promise<ReadonlyMap<string, PlateFacts>> {
  const known = manifest.plates.flatMap((plate) => {
    const parts = platedParts(manifest, plate).map(({ part }) => facts.get(part) ?? null);
    const measured = parts.filter((part) => part !== null);
    return measured.length === parts.length ? [{ plate, measured }] : [];
  });
  const tasks = known.map(({ plate, measured }) => plateTask(manifest, plate, measured));
  const path = join(kitDir, manifestName);
  const layouts = await laidOut({ path, kitDir, readCache: !noCache, tasks }, context);
  return new Map(
    known.map(({ plate, measured }, n) => [
      plate.name,
      { layout: layouts[n]!, loads: plateLoads(measured, manifest.machine) },
    ]),
  );
}

function plateTask(manifest: Manifest, plate: Plate, measured: readonly PartFacts[]): PlateTask {
  return {
    room: plateRoom(manifest.machine),
    gapMm: plate.gap,
    parts: platedParts(manifest, plate).map(({ at, spin }, n) => ({
      footprint: measured[n]!.footprint,
      at,
      spin,
    })),
  };
}

/** A thread is asked for what is not kept, and for nothing else. */
async function laidOut(request: PlatesRequest, { pool, call }: EngineContext): Promise<PlateLayout[]> {
  const kept = await keptLayouts(request);
  const tasks = request.tasks.filter((_, n) => kept[n] === null);
  if (tasks.length === 0) return kept as PlateLayout[];
  const made = await pool.run('layOut', { ...request, tasks }, platesJob(call));
  let next = 0;
  return kept.map((layout) => layout ?? made[next++]!);
}

/** Footprints in cells, twice over; what is drawn of a part while it is spun. */
const arrangingBytes = 64 * 2 ** 20;

/** How a job on plates is run. */
export function platesJob({ signal, progress }: EngineContext['call']): JobOptions {
  return {
    bytes: arrangingBytes,
    urgent: false,
    signal,
    onProgress: ({ stage, fraction }) => progress({ kind: 'stage', part: 'plates', stage, fraction }),
  };
}
