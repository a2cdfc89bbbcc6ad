import { type Affine, affineOf, afterScaling, transformMesh } from '../core/affine.ts';
import type { Cavity } from '../core/field/cavity.ts';
import { hollow } from '../core/field/hollow.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { poseMesh } from '../core/mesh/pose.ts';
import { failure, type Result, success } from '../core/result.ts';
import { measurePosed } from './measurePosed.ts';
import { openPartFile } from './partFileSource.ts';
import type { PartRequest } from './partRequest.ts';
import { type PreparedMesh, prepareMesh } from './prepareMesh.ts';
import { noCache, openStageCache, type StageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

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

/** Nodes of the distance field at most: 8 bytes each. */
const maxFieldNodes = 60_000_000;
const bytesPerTriangle = 50;
/** ASCII takes up to five times the bytes of binary. */
const asciiExcess = 5;

/**
 * The whole measurement of one part: file → mesh → hollow → pose → rays → layers → loads. Every
 * stage is keyed by a hash of its inputs and kept in the cache, so that a changed decision
 * recomputes only what lies after it.
 */
export async function measurePart(
  request: PartRequest,
  context: StageContext,
  options: MeasureOptions,
): Promise<Result<PartResult>> {
  const cache = request.kitDir === null ? noCache : openStageCache(request.kitDir, request.readCache);
  const { triangles } = request.limits;
  const limitBytes = 84 + bytesPerTriangle * asciiExcess * triangles;
  const trustRecord = request.readCache && !options.hashAgain;
  const file = await openPartFile(request, trustRecord, limitBytes, context.stage('reading'));
  if (!file.ok) return file;

  const meshKey = stageKey('mesh', [file.value.hash, triangles]);
  const { factor, wall, limits } = request;
  const cavityKey = stageKey('cavity', [meshKey, factor, wall, limits.leastChamber]);
  const factsKey = stageKey('facts', [cavityKey, decisionsOf(request)]);

  const watch = await watching(options.watch, meshKey, wall === null ? null : cavityKey);
  const kept = (await cache.read('facts', factsKey)) as Pick<PartResult, 'facts' | 'frame'> | null;
  if (kept !== null && !options.keepMeshes && watch === null) return success({ ...kept, meshes: null });

  const prepared = await cachedMesh(cache, meshKey, async () => {
    const bytes = await file.value.bytes(context.stage('reading'));
    return bytes.ok ? prepareMesh(bytes.value, triangles, context) : bytes;
  });
  if (!prepared.ok) return prepared;

  const pose = { factor, turn: request.turn, raise: request.raise, mirrored: false };
  const posed = poseMesh(prepared.value.clean, pose);
  const frame = affineOf(posed.toPrint);
  watch?.outer(prepared.value.clean, frame);

  const cavity = await cachedCavity(cache, cavityKey, request, prepared.value, context);
  if (!cavity.ok) return cavity;
  watch?.cavity(cavity.value?.mesh ?? null);
  const posedCavity =
    cavity.value === null ? null : transformMesh(cavity.value.mesh, afterScaling(frame, 1 / factor));
  const meshes = options.keepMeshes ? { outer: posed.mesh, cavity: posedCavity } : null;
  if (kept !== null) return success({ ...kept, meshes });

  const mended =
    prepared.value.mended === prepared.value.clean ? posed.mesh : transformMesh(prepared.value.mended, frame);
  const facts = await measurePosed(
    {
      request,
      prepared: prepared.value,
      outer: posed.mesh,
      mended,
      frame,
      cavity: cavity.value,
      posedCavity,
    },
    context,
  );
  if (!facts.ok) return facts;
  await cache.write('facts', factsKey, { facts: facts.value, frame });
  return success({ facts: facts.value, frame, meshes });
}

async function watching(
  watch: MeshWatch | undefined,
  outer: string,
  cavity: string | null,
): Promise<MeshWatch | null> {
  return watch !== undefined && (await watch.wants({ outer, cavity })) ? watch : null;
}

/** What changes a figure beyond the mesh and the wall, in a fixed order. */
function decisionsOf({ name, turn, raise, openings, machine, film, resin, limits }: PartRequest): unknown {
  return [name, turn, raise, openings, machine, film, resin, limits];
}

async function cachedMesh(
  cache: StageCache,
  key: string,
  compute: () => Promise<Result<PreparedMesh>>,
): Promise<Result<PreparedMesh>> {
  const kept = (await cache.read('mesh', key)) as PreparedMesh | null;
  if (kept !== null) return success(kept.clean === null ? { ...kept, clean: kept.mended } : kept);
  const made = await compute();
  if (made.ok) {
    const { clean, mended } = made.value;
    await cache.write('mesh', key, { ...made.value, clean: clean === mended ? null : clean });
  }
  return made;
}

/** The hollow in source axes at finished size; null when the part stays solid. */
async function cachedCavity(
  cache: StageCache,
  key: string,
  { factor, wall, limits }: PartRequest,
  prepared: PreparedMesh,
  context: StageContext,
): Promise<Result<Cavity | null>> {
  if (wall === null || !prepared.sound) return success(null);
  const kept = (await cache.read('cavity', key)) as Cavity | null;
  if (kept !== null) return success(kept);
  const sized = transformMesh(prepared.clean, {
    linear: [factor, 0, 0, 0, factor, 0, 0, 0, factor],
    shift: [0, 0, 0],
  });
  const options = { wallMm: wall, leastChamberMm3: limits.leastChamber * 1000, maxNodes: maxFieldNodes };
  const made = hollow(sized, options, context.stage('hollowing'));
  if (!made.ok) return failure(made.error.code, made.error.message);
  await cache.write('cavity', key, made.value);
  return made;
}
