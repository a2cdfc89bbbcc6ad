import type { Affine } from '../core/affine.ts';
import type { FigureFacts } from '../core/joints/figureFacts.ts';
import type { JointFacts } from '../core/joints/jointFacts.ts';
import { loadJoints } from '../core/joints/loadJoints.ts';
import type { Finding, FindingDraft } from '../core/kit/finding.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import { numberFindings } from '../core/kit/numberFindings.ts';
import { type ParsedManifest, parseManifest } from '../core/kit/parseManifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { partResin } from '../core/kit/partResin.ts';
import { partFailed } from '../core/kit/rules/fileMissing.ts';
import { kitRules, partRules } from '../core/kit/rules/measuredRules.ts';
import type { PlateFacts } from '../core/plates/plateFacts.ts';
import { type Failure, type Result, success } from '../core/result.ts';
import { keptPart } from '../pipeline/keptPart.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import { manifestName, readManifest } from '../pipeline/readManifest.ts';
import { tidyStageCache } from '../pipeline/stageCache.ts';
import type { KitSource } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { kitBalance } from './kitBalance.ts';
import { kitJoints } from './kitJoints.ts';
import { kitPlates } from './kitPlates.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { standingParts } from './standingParts.ts';
import { toSource } from './toSource.ts';

/** A part as measured, whatever else the job brought back. */
export interface Measured {
  readonly facts: PartFacts;
  readonly frame: Affine;
}

export interface MeasuredKit<T extends Measured> {
  readonly parsed: ParsedManifest;
  /** Null when the text cannot be read as a mapping. */
  readonly manifest: Manifest | null;
  readonly measured: ReadonlyMap<string, T>;
  /** The plates whose parts were all measured, by name. */
  readonly plates: ReadonlyMap<string, PlateFacts>;
  /** Where measured parts meet. */
  readonly joints: readonly JointFacts[];
  /** The figure put together; null where only some of its parts were asked for. */
  readonly assembled: FigureFacts | null;
  readonly findings: readonly Finding[];
}

/** The manifest's text of a kit, from the editor or from disk. */
export async function manifestText({ kitDir, manifestText: unsaved }: KitSource): Promise<string> {
  if (unsaved !== null) return unsaved;
  const text = await readManifest(kitDir);
  if (!text.ok) throw new RpcError(text.error);
  return text.value;
}

/** Reads the manifest, measures the parts asked for side by side, and judges them. */
export async function measureKit<T extends Measured>(
  source: KitSource,
  names: readonly string[] | null,
  noCache: boolean,
  context: EngineContext,
  job: 'measure' | 'view',
  onPart: (part: Part, measured: T | null, findings: () => readonly Finding[]) => void,
): Promise<MeasuredKit<T>> {
  const parsed = parseManifest(await manifestText(source));
  const { manifest } = parsed;
  if (manifest === null)
    return {
      parsed,
      manifest,
      measured: new Map(),
      plates: new Map(),
      joints: [],
      assembled: null,
      findings: number(parsed, parsed.findings, new Map()),
    };
  const wanted = wantedParts(manifest, names);
  /** Until all parts before have been looked for in the cache: what must be measured waits in the manifest's order. */
  let looked: Promise<unknown> = Promise.resolve();
  // All of them, so that after a cancel each has tidied up before the caller hears of it.
  const settled = await Promise.allSettled(
    wanted.map(async (part): Promise<Outcome<T>> => {
      const request = partRequestOf(manifest, part, source.kitDir, noCache);
      if (request === null) return { part, result: null };
      const before = looked;
      const looking = job === 'measure' ? keptPart(request) : Promise.resolve(null);
      looked = Promise.allSettled([before, looking]);
      const kept = await looking;
      if (kept === null) await before;
      const result =
        kept === null
          ? await runJob<T>(part.name, request, context, job)
          : (success(kept) as unknown as Result<T>);
      const outcome = { part, result };
      const own = new Map(result.ok ? [[part.name, result.value] as const] : []);
      onPart(part, result.ok ? result.value : null, () =>
        number(parsed, judgePart(manifest, wanted, outcome), own),
      );
      // Whoever looks at a part is about to edit it.
      if (result.ok && job === 'view') preheat(request, context);
      return outcome;
    }),
  );
  const outcomes = settled.map((outcome) => {
    if (outcome.status === 'rejected') throw outcome.reason;
    return outcome.value;
  });
  const measured = new Map(
    outcomes.flatMap(({ part, result }) => (result?.ok ? [[part.name, result.value] as const] : [])),
  );
  const facts = new Map([...measured].map(([name, part]) => [name, part.facts]));
  const plates = await kitPlates(manifest, facts, source.kitDir, noCache, context);
  const ofParts = outcomes.flatMap((outcome) => judgePart(manifest, wanted, outcome));
  const standing = standingParts(manifest, measured, source.kitDir);
  const found = await kitJoints(manifest, standing, source.kitDir, noCache, context);
  const assembled =
    wanted.length < manifest.parts.length
      ? null
      : await kitBalance(manifest, standing, source.kitDir, noCache, context);
  const joints = loadJoints(found.joints, manifest.joints, assembled, manifest.scale.factor ?? 1, (part) =>
    strengthOf(manifest, part),
  );
  const ofKit = kitRules({ manifest, facts, plates, joints, swallowed: found.swallowed, assembled });
  const drafts = [...parsed.findings, ...ofParts, ...ofKit];
  return {
    parsed,
    manifest,
    measured,
    plates,
    joints,
    assembled,
    findings: number(parsed, drafts, measured),
  };
}

/** What a socket's wall bears, MPa: cured it bears more, but nothing dependable is known of it. */
function strengthOf(manifest: Manifest, name: string): number {
  const part = manifest.parts.find((candidate) => candidate.name === name)!;
  return partResin(manifest, part).greenStrength;
}

async function runJob<T extends Measured>(
  name: string,
  request: PartRequest,
  { pool, call }: EngineContext,
  job: 'measure' | 'view',
): Promise<Result<T>> {
  const running = pool.run(job, request, partJob(name, request, call, job === 'view'));
  const result = await running.catch(async (error: unknown) => {
    if (request.kitDir !== null) await tidyStageCache(request.kitDir);
    throw error;
  });
  return result as Result<unknown> as Result<T>;
}

/** Nobody waits for it and nothing depends on it. */
function preheat(request: PartRequest, { pool }: EngineContext): void {
  const { signal } = new AbortController();
  const options = partJob(request.name, request, { signal, progress: () => {} });
  // Whatever the view was told of the cache, what it has just computed may be read.
  pool.run('preheat', { ...request, readCache: true }, options).catch(() => {});
}

interface Outcome<T> {
  readonly part: Part;
  /** Null when the manifest does not say enough to measure it; a finding of its own tells. */
  readonly result: Result<T> | null;
}

export function wantedParts(manifest: Manifest, names: readonly string[] | null): readonly Part[] {
  if (names === null) return manifest.parts;
  return [...new Set(names)].map((name) => {
    const part = manifest.parts.find((candidate) => candidate.name === name);
    if (part === undefined) throw new RpcError(unknownPart(name, manifest));
    return part;
  });
}

function unknownPart(name: string, manifest: Manifest): Failure {
  const known = manifest.parts.map((part) => part.name).join(', ');
  return {
    code: 'part-unknown',
    message: `${manifestName} has no part \`${name}\`. It has: ${known || 'none'}.`,
  };
}

function judgePart<T extends Measured>(
  manifest: Manifest,
  checked: readonly Part[],
  { part, result }: Outcome<T>,
): FindingDraft[] {
  if (result === null) return [];
  return result.ok
    ? partRules({ manifest, part, facts: result.value.facts, checked })
    : [partFailed(part.name, result.error)];
}

function number(
  parsed: ParsedManifest,
  drafts: readonly FindingDraft[],
  measured: ReadonlyMap<string, Measured>,
): readonly Finding[] {
  const back = new Map([...measured].map(([name, part]) => [name, toSource(part)]));
  return numberFindings(drafts, {
    file: manifestName,
    placeOf: parsed.placeOf,
    toSource: (part, at) => back.get(part)?.(at) ?? null,
  });
}
