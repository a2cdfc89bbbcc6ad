import { basename, resolve } from 'node:path';
import type { Finding } from '../core/kit/finding.ts';
import { inspectManifest } from '../core/kit/inspectManifest.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import { numberFindings } from '../core/kit/numberFindings.ts';
import { parseManifest } from '../core/kit/parseManifest.ts';
import { partRules } from '../core/kit/rules/measuredRules.ts';
import type { Result } from '../core/result.ts';
import type { InspectParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import type { Measured } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';
import { toSource } from './toSource.ts';

export interface MeasuredFile<T extends Measured> {
  readonly manifest: Manifest;
  readonly part: Part;
  readonly measured: T;
  readonly findings: readonly Finding[];
}

/** Measures one STL under the manifest's defaults; nothing is kept on disk. An unreadable file is a failure. */
export async function measureFile<T extends Measured>(
  params: Omit<InspectParams, 'noCache'>,
  context: EngineContext,
  job: 'measure' | 'view',
): Promise<MeasuredFile<T>> {
  const path = resolve(params.file);
  const name = basename(path).replace(/\.stl$/i, '');
  const manifest = inspectManifest({ ...params, name, file: basename(path) });
  const part = manifest.parts[0]!;
  const request = { ...partRequestOf(manifest, part, '', true)!, path, kitDir: null };
  const result = (await context.pool.run(job, request, {
    bytes: estimateBytes(path),
    urgent: job === 'view',
    signal: context.call.signal,
    onProgress: ({ stage, fraction }) =>
      context.call.progress({ kind: 'stage', part: name, stage, fraction }),
  })) as Result<T>;
  if (!result.ok) throw new RpcError(result.error);
  const measured = result.value;
  const drafts = partRules({ manifest, part, facts: measured.facts });
  const back = toSource(measured);
  // Without a manifest every finding stands at the file's own beginning.
  const { placeOf } = parseManifest('');
  const findings = numberFindings(drafts, {
    file: basename(path),
    placeOf,
    toSource: (_part, at) => back(at),
  });
  return { manifest, part, measured, findings };
}
