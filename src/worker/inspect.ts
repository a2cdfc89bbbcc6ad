import { buildReport } from '../core/kit/buildReport.ts';
import type { InspectReport } from '../core/kit/report.ts';
import type { InspectParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { measureFile } from './measureFile.ts';
import type { Measured } from './measureKit.ts';
import { toSource } from './toSource.ts';

/** `inspect`: one STL, no manifest. */
export async function inspect(params: InspectParams, context: EngineContext): Promise<InspectReport> {
  const { manifest, part, measured, findings } = await measureFile<Measured>(params, context, 'measure');
  return {
    file: params.file,
    ok: !findings.some(({ severity }) => severity === 'error'),
    part: buildReport(measured.facts, part, toSource(measured)),
    findings,
    assumptions: manifest.assumptions,
  };
}
