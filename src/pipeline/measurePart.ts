import type { Affine } from '../core/affine.ts';
import { type Interrupter, uninterrupted } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import { openPartFile } from './partFileSource.ts';
import type { PartRequest } from './partRequest.ts';
import { type PartStages, partStages } from './partStages.ts';
import { noCache, openStageCache } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';
import { openStageStore } from './stageStore.ts';
import { noShelf } from './warmShelf.ts';

export interface PartResult {
  readonly facts: PartFacts;
  /** Source coordinates → print frame. */
  readonly frame: Affine;
  /** Print frame; null when only the facts were asked for. */
  readonly meshes: PartMeshes | null;
}

export interface PartMeshes {
  readonly outer: Mesh;
  /** Outward, as a solid of its own. */
  readonly cavity: Mesh | null;
}

export interface MeasureOptions {
  /** Also return the posed meshes. */
  readonly keepMeshes: boolean;
  /** Hash the file's content even when it looks unchanged: for what is written or recorded. */
  readonly hashAgain: boolean;
  readonly watch?: MeshWatch;
}

/** Looks on while a part is measured: gets its meshes as soon as each is there, long before the facts. */
export interface MeshWatch {
  /** Asked first, with keys that name the two meshes for good; false = hold none ready on my account. */
  wants(keys: { readonly outer: string; readonly cavity: string | null }): Promise<boolean>;
  /** `clean` in the source frame, with the way from there to the print frame. */
  outer(clean: Mesh, frame: Affine): void;
  /** Source axes at finished size; null when the part stays solid. */
  cavity(mesh: Mesh | null): void;
}

const bytesPerTriangle = 50;
/** ASCII takes up to five times the bytes of binary. */
const asciiExcess = 5;

/**
 * The whole measurement of one part: file → mesh → pose, hollow → rays and layers → openings and
 * loads. Every stage is given only what is in its key (or follows from it), and is kept in memory
 * and on disk, so that a changed decision recomputes only what depends on it.
 */
export async function measurePart(
  request: PartRequest,
  context: StageContext,
  options: MeasureOptions,
): Promise<Result<PartResult>> {
  return withStages(request, context, options.hashAgain, async (stages): Promise<Result<PartResult>> => {
    const looked = await lookOn(options.watch, request, stages);
    if (!looked.ok) return looked;
    // Before the pose: idle threads begin with the hollow meanwhile.
    const facts = await stages.facts();
    if (!facts.ok) return facts;
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const result = { facts: { name: request.name, ...facts.value }, frame: pose.value.frame };
    if (!options.keepMeshes) return success({ ...result, meshes: null });
    const part = await stages.posed();
    return part.ok ? success({ ...result, meshes: part.value.posed }) : part;
  });
}

/** Brings into the engine's memory what the next edit of one of the part's openings will need. */
export function preheatPart(request: PartRequest, context: StageContext): Promise<Result<null>> {
  return withStages(request, context, false, (stages) => stages.preheated());
}

/** Opens a part's file and its caches, works with its stages, and sees everything written. */
export async function withStages<T>(
  request: PartRequest,
  context: StageContext,
  hashAgain: boolean,
  work: (stages: PartStages) => Promise<Result<T>>,
): Promise<Result<T>> {
  const { kitDir, readCache, limits } = request;
  const disk = kitDir === null ? noCache : openStageCache(kitDir, readCache);
  // Packing belongs to the stage that was worked at last.
  let last = uninterrupted;
  const stage = (name: string): Interrupter => {
    last = context.stage(name);
    return last;
  };
  const shelf = kitDir === null ? noShelf : context.warm;
  const store = openStageStore(disk, shelf, readCache, () => last(1));
  const limitBytes = 84 + bytesPerTriangle * asciiExcess * limits.triangles;
  const file = await openPartFile(request, readCache && !hashAgain, limitBytes, stage('reading'));
  if (!file.ok) return file;
  try {
    return await work(partStages(request, file.value, store, { ...context, stage }));
  } finally {
    await store.written();
  }
}

async function lookOn(
  watch: MeshWatch | undefined,
  { wall }: PartRequest,
  stages: PartStages,
): Promise<Result<null>> {
  const keys = { outer: stages.keys.mesh, cavity: wall === null ? null : stages.keys.cavity };
  if (watch === undefined || !(await watch.wants(keys))) return success(null);
  const prepared = await stages.prepared();
  if (!prepared.ok) return prepared;
  const pose = await stages.pose();
  if (!pose.ok) return pose;
  watch.outer(prepared.value.clean, pose.value.frame);
  const cavity = await stages.cavity();
  if (!cavity.ok) return cavity;
  watch.cavity(cavity.value?.mesh ?? null);
  return success(null);
}
