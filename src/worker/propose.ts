import { applyEdits } from '../core/kit/edits.ts';
import { proposalEdits } from '../core/propose/proposalEdits.ts';
import { type ProposalReport, proposalReport } from '../core/propose/proposalReport.ts';
import type { KitProposal, ProposeParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { wantedParts } from './measureKit.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `propose`: openings for parts of a kit, and the manifest as they would have it, written where that is asked for. */
export async function propose(params: ProposeParams, context: EngineContext): Promise<KitProposal> {
  const { text: before, manifest } = await kitManifest(params);
  const parts: Record<string, ProposalReport> = {};
  const failed: { part: string; message: string }[] = [];
  let text = before;
  const requests = manifest.parts.flatMap(
    (part) => partRequestOf(manifest, part, params.kitDir, params.noCache) ?? [],
  );
  for (const part of wantedParts(manifest, params.parts)) {
    const request = requests.find(({ name }) => name === part.name);
    if (request === undefined || part.wall === null) continue;
    const neighbours = requests.filter(({ name }) => name !== part.name);
    const result = await context.pool.run(
      'propose',
      { ...request, manifestText: before, neighbours },
      partJob(part.name, request, context.call),
    );
    if (!result.ok) {
      failed.push({ part: part.name, message: `${result.error.code}: ${result.error.message}` });
      continue;
    }
    parts[part.name] = proposalReport(result.value);
    const edits = proposalEdits(text, part.name, part.openings, result.value.choices);
    if (edits === null) failed.push({ part: part.name, message: cannotEdit });
    else text = applyEdits(text, edits);
  }
  if (params.write && text !== before) await rewriteManifest(params, before, text);
  return { kit: manifest.kit, ok: failed.length === 0, parts, failed, manifestText: text };
}

const cannotEdit =
  'its openings stand in the manifest in a way that cannot be edited by itself; copy the proposal by hand.';
