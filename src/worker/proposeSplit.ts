import { splitEdits } from '../core/cut/splitEdits.ts';
import { type SplitProposalReport, splitProposalReport } from '../core/cut/splitReport.ts';
import { applyEdits } from '../core/kit/edits.ts';
import { parseManifest } from '../core/kit/parseManifest.ts';
import { usualCut } from '../core/kit/usualCut.ts';
import type { KitSplits, ProposeSplitParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { wantedParts } from './measureKit.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `proposeSplit`: cuts for parts that do not fit, the best of which is written where that is asked for. */
export async function proposeSplit(params: ProposeSplitParams, context: EngineContext): Promise<KitSplits> {
  const { text: before, manifest } = await kitManifest(params);
  let text = before;
  const parts: Record<string, SplitProposalReport> = {};
  const written: Record<string, KitSplits['written'][string]> = {};
  const failed: { part: string; message: string }[] = [];
  for (const part of wantedParts(manifest, params.parts)) {
    const request = partRequestOf(manifest, part, params.kitDir, params.noCache);
    if (request === null) continue;
    const result = await context.pool.run(
      'split',
      { ...request, usual: usualCut, usualSupports: manifest.usualSupports },
      partJob(part.name, request, context.call),
    );
    if (!result.ok) {
      failed.push({ part: part.name, message: `${result.error.code}: ${result.error.message}` });
      continue;
    }
    const report = splitProposalReport(result.value);
    parts[part.name] = report;
    const [best] = report.splits;
    if (!params.write || best === undefined) continue;
    const edit = splitEdits(text, part, best, parseManifest(text).manifest!, request.factor);
    if (edit === null) failed.push({ part: part.name, message: cannotEdit });
    else {
      text = applyEdits(text, edit.edits);
      written[part.name] = edit.names;
    }
  }
  if (text !== before) await rewriteManifest(params, before, text);
  const fit = Object.values(parts).every(({ now, splits }) => now.fits || splits[0]?.fits === true);
  return { kit: manifest.kit, ok: failed.length === 0 && fit, parts, written, failed };
}

const cannotEdit =
  'it stands in the manifest in a way that cannot be edited by itself; copy the cut by hand.';
