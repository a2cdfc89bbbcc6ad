import { explainPart } from '../core/explain/explainPart.ts';
import { buildReport } from '../core/kit/buildReport.ts';
import { numberFindings } from '../core/kit/numberFindings.ts';
import { parseManifest } from '../core/kit/parseManifest.ts';
import { partRules } from '../core/kit/rules/measuredRules.ts';
import { loadAssumptions } from '../core/physics/constants.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import type { ExplainParams, PartExplained } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { manifestText, wantedParts } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';
import { toSource } from './toSource.ts';

/** `explain`: one part of a kit as a Markdown document. A part that cannot be measured is a failure. */
export async function explain(params: ExplainParams, { pool, call }: EngineContext): Promise<PartExplained> {
  const text = await manifestText(params);
  const parsed = parseManifest(text);
  const { manifest } = parsed;
  if (manifest === null) {
    throw new RpcError({ code: 'manifest-unreadable', message: 'kit.yaml cannot be read; mend it first.' });
  }
  const [part] = wantedParts(manifest, [params.part]);
  const request = partRequestOf(manifest, part!, params.kitDir, params.noCache);
  const own = parsed.findings.filter(({ part: of }) => of === part!.name);
  if (request === null) {
    const reason = own[0] ?? parsed.findings[0];
    throw new RpcError({
      code: 'manifest-unreadable',
      message: reason?.message ?? `${part!.name} cannot be measured: kit.yaml says too little of it.`,
    });
  }
  const result = await pool.run(
    'explain',
    { ...request, manifestText: text },
    {
      bytes: estimateBytes(request.path),
      urgent: true,
      signal: call.signal,
      onProgress: ({ stage, fraction }) =>
        call.progress({ kind: 'stage', part: part!.name, stage, fraction }),
    },
  );
  if (!result.ok) throw new RpcError(result.error);
  const { facts, verdict, effects, notTried } = result.value;
  const back = toSource(result.value);
  const drafts = [...own, ...partRules({ manifest, part: part!, facts })];
  const findings = numberFindings(drafts, {
    file: manifestName,
    placeOf: parsed.placeOf,
    toSource: (_part, at) => back(at),
  });
  const markdown = explainPart({
    manifest,
    part: part!,
    report: buildReport(facts, part!, back),
    loads: facts.loads,
    findings,
    assumptions: [...manifest.assumptions, ...loadAssumptions],
    verdict,
    effects,
    notTried,
  });
  return { part: part!.name, ok: !findings.some(({ severity }) => severity === 'error'), markdown };
}
