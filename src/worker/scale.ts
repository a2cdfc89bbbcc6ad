import { applyEdits, type TextEdit } from '../core/kit/edits.ts';
import { compareLedgers, type LedgerChange } from '../core/kit/ledger/compareLedgers.ts';
import { readLedger } from '../core/kit/ledger/readLedger.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { parseManifest } from '../core/kit/parseManifest.ts';
import type { Result } from '../core/result.ts';
import { factorEdits, knownLengthEdits } from '../core/scale/scaleEdits.ts';
import { scaleReport, upOf } from '../core/scale/scaleReport.ts';
import type { Extent } from '../pipeline/measureExtent.ts';
import type { KitScale, ScaleParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { record } from './record.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `scale`: how large a kit is printed and how that follows; a height it is to have; what another factor would change. */
export async function scale(params: ScaleParams, context: EngineContext): Promise<KitScale> {
  const { text, parsed, manifest } = await kitManifest(params);
  const { extents, failed } = await extentsOf(manifest, params, context);
  const report = scaleReport(manifest, extents);
  const told = parsed.findings.filter(({ code }) => code.startsWith('scale-')).map(({ message }) => message);
  const base = { kit: manifest.kit, failed, told, changes: null };
  if (params.tryFactor !== null)
    return { ...base, ...report, changes: await changesAt(params.tryFactor, text, params, context) };
  if (params.heightMm === null) return { ...base, ...report };
  const edited = atHeight(text, report.height_units, params.heightMm);
  const [lacking] = failed;
  if (params.write && lacking !== undefined)
    throw new RpcError({
      code: 'part-unknown',
      message: `The kit’s height is not known while ${lacking.part} is not in it: ${lacking.message} Nothing was written.`,
    });
  if (params.write && edited !== text) await rewriteManifest(params, text, edited);
  return { ...base, ...scaleReport(parseManifest(edited).manifest!, extents) };
}

/** A scale is not needed for it: kits that have none yet are asked for it. */
async function extentsOf(
  manifest: Manifest,
  { kitDir, noCache }: ScaleParams,
  { pool, call }: EngineContext,
): Promise<{ readonly extents: readonly Extent[]; readonly failed: KitScale['failed'] }> {
  const scaled = { ...manifest, scale: { ...manifest.scale, factor: manifest.scale.factor ?? 1 } };
  const up = upOf(manifest);
  const found = await Promise.all(
    manifest.parts.map(async (part): Promise<Result<Extent> | null> => {
      const request = partRequestOf(scaled, part, kitDir, noCache);
      return request === null
        ? null
        : pool.run('extent', { ...request, up }, partJob(part.name, request, call));
    }),
  );
  return {
    extents: found.flatMap((extent) => (extent?.ok ? [extent.value] : [])),
    failed: found.flatMap((extent, n) =>
      extent?.ok
        ? []
        : [{ part: manifest.parts[n]!.name, message: extent?.error.message ?? 'it has no file.' }],
    ),
  };
}

function atHeight(text: string, units: number | null, mm: number): string {
  if (units === null || !(units > 0))
    throw new RpcError({ code: 'part-unknown', message: 'No part could be read, so the kit has no height.' });
  return changed(
    text,
    knownLengthEdits(text, { source: units, between: null, known: { kind: 'print', mm } }),
  );
}

/** What the check would say otherwise at another factor: walls, openings, keys and all are judged anew. */
async function changesAt(
  factor: number,
  text: string,
  params: ScaleParams,
  context: EngineContext,
): Promise<readonly LedgerChange[]> {
  const ledgerAt = async (manifestText: string) => {
    const recorded = await record({ ...params, manifestText, write: false }, context);
    const ledger = readLedger(recorded.text);
    if (!ledger.ok) throw new RpcError(ledger.error);
    return ledger.value;
  };
  const now = await ledgerAt(text);
  return compareLedgers(now, await ledgerAt(changed(text, factorEdits(text, factor))));
}

function changed(text: string, edits: readonly TextEdit[] | null): string {
  if (edits !== null) return applyEdits(text, edits);
  throw new RpcError({
    code: 'manifest-unreadable',
    message: 'The scale stands in kit.yaml in a way that cannot be edited by itself; change it by hand.',
  });
}
