import { applyEdits, setValue } from '../core/kit/edits.ts';
import { journalReport } from '../core/kit/journal/journalReport.ts';
import type { PrintLike } from '../core/kit/journal/nearestPrints.ts';
import { readJournal } from '../core/kit/journal/readJournal.ts';
import { roundTo, roundVec3 } from '../core/kit/rounding.ts';
import type { JournalParams, KitJournal } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { journalText } from './logPrint.ts';
import { measureKit } from './measureKit.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `journal`: what the prints so far say of a part, and of the numbers that they can tell of; taken over only where that is asked for. */
export async function journal(params: JournalParams, context: EngineContext): Promise<KitJournal> {
  const { kitDir, part, write } = params;
  const { text, manifest } = await kitManifest(params);
  const prints = readJournal(await journalText(kitDir));
  if (!prints.ok) throw new RpcError(prints.error);
  const asked = part === null ? null : await likeOf({ ...params, manifestText: text }, part, context);
  const report = journalReport(prints.value, manifest, asked);
  if (write === null) return { kit: manifest.kit, ...report, written: null };
  const found = report.calibrations.find(({ key }) => key === write)!;
  if (found.proposed === null) return { kit: manifest.kit, ...report, written: null };
  const edits = setValue(text, found.key.split('.'), found.proposed);
  if (edits.length === 0)
    throw new RpcError({
      code: 'manifest-unreadable',
      message: `${found.key} stands in kit.yaml in a way that cannot be edited by itself; change it by hand.`,
    });
  await rewriteManifest(params, text, applyEdits(text, edits));
  return { kit: manifest.kit, ...report, written: found.key };
}

async function likeOf(
  params: JournalParams,
  part: string,
  context: EngineContext,
): Promise<PrintLike & { readonly part: string }> {
  const { measured } = await measureKit(params, [part], params.noCache, context, 'measure', () => {});
  const facts = measured.get(part)?.facts;
  if (facts === undefined)
    throw new RpcError({
      code: 'file-unreadable',
      message: `${part} cannot be measured; see what the check says.`,
    });
  const { mesh, loads } = facts;
  return { part, size_mm: roundVec3(mesh.sizeMm, 1), pull_n: roundTo(loads.peakPullN, 2) };
}
