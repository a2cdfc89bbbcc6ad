import { explainPart } from '../core/explain/explainPart.ts';
import { buildReport } from '../core/kit/buildReport.ts';
import { numberFindings } from '../core/kit/numberFindings.ts';
import { partRules } from '../core/kit/rules/measuredRules.ts';
import { loadAssumptions } from '../core/physics/constants.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import type { ExplainParams, PartExplained } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { partJob } from './partJob.ts';
import { toSource } from './toSource.ts';

/** `explain`: one part of a kit as a Markdown document. A part that cannot be measured is a failure. */
export async function explain(params: ExplainParams, { pool, call }: EngineContext): Promise<PartExplained> {
  const { text, parsed, manifest, part, request } = await askedPart(params, params.noCache);
  const own = parsed.findings.filter(({ part: of }) => of === part.name);
  const result = await pool.run(
    'explain',
    { ...request, manifestText: text },
    partJob(part.name, request, call, true),
  );
  if (!result.ok) throw new RpcError(result.error);
  const { facts, verdict, effects, notTried } = result.value;
  const back = toSource(result.value);
  const drafts = [...own, ...partRules({ manifest, part, facts, checked: [part] })];
  const findings = numberFindings(drafts, {
    file: manifestName,
    placeOf: parsed.placeOf,
    toSource: (_part, at) => back(at),
  });
  const markdown = explainPart({
    manifest,
    part,
    report: buildReport(facts, part, back),
    loads: facts.loads,
    findings,
    assumptions: [...manifest.assumptions, ...loadAssumptions],
    verdict,
    effects,
    notTried,
  });
  return { part: part.name, ok: !findings.some(({ severity }) => severity === 'error'), markdown };
}
