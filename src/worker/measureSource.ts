import type { Finding } from '../core/kit/finding.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import type { PartSource } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { measureFile } from './measureFile.ts';
import { type Measured, measureKit } from './measureKit.ts';

export interface MeasuredSource<T extends Measured> {
  readonly name: string;
  readonly manifest: Manifest;
  readonly measured: T;
  readonly findings: readonly Finding[];
}

/** One part, out of a kit or a file of its own. A part that cannot be measured is a failure. */
export async function measureSource<T extends Measured>(
  source: PartSource,
  noCache: boolean,
  context: EngineContext,
  job: 'measure' | 'view',
): Promise<MeasuredSource<T>> {
  if (source.of === 'file') {
    const { manifest, part, measured, findings } = await measureFile<T>(source, context, job);
    return { name: part.name, manifest, measured, findings };
  }
  const { manifest, measured, findings } = await measureKit<T>(
    source,
    [source.part],
    noCache,
    context,
    job,
    () => {},
  );
  const part = measured.get(source.part);
  if (manifest === null || part === undefined) {
    const reason = findings.find(
      ({ part: of, severity }) => severity === 'error' && (of === source.part || of === null),
    );
    throw new RpcError({
      code: reason?.code === 'file-missing' ? 'file-missing' : 'file-unreadable',
      message: reason?.message ?? `${source.part} cannot be measured.`,
    });
  }
  return { name: source.part, manifest, measured: part, findings };
}
