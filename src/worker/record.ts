import { join } from 'node:path';
import { compareLedgers, type LedgerChange } from '../core/kit/ledger/compareLedgers.ts';
import { ledgerOf, type PartHashes } from '../core/kit/ledger/ledgerOf.ts';
import { ledgerText } from '../core/kit/ledger/ledgerText.ts';
import { readLedger } from '../core/kit/ledger/readLedger.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { decisionsHash } from '../pipeline/decisionsHash.ts';
import { hashPartFile } from '../pipeline/hashPartFile.ts';
import { intoFolder } from '../pipeline/intoFolder.ts';
import { ledgerName, readLedgerFile } from '../pipeline/readLedgerFile.ts';
import { writeAside } from '../pipeline/writeAside.ts';
import type { RecordedKit, RecordParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { check } from './check.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { partRequestOf } from './partRequestOf.ts';

/**
 * `record`: checks a whole kit, every STL hashed again, and sets it against the ledger that was recorded; written anew
 * where that is asked for.
 */
export async function record(params: RecordParams, context: EngineContext): Promise<RecordedKit> {
  const { kitDir, noCache } = params;
  const { text: manifestText, manifest } = await kitManifest(params);
  const recorded = await readLedgerFile(kitDir);
  if (!recorded.ok) throw new RpcError(recorded.error);
  const hashes = await hashesOf(manifest, kitDir, context.call.signal);
  const report = await check({ ...params, manifestText, parts: null, noCache }, context);
  const ledger = ledgerOf(report, manifest, hashes);
  const text = ledgerText(ledger);
  const before = recorded.value === null ? null : readLedger(recorded.value);
  // A ledger that cannot be read is written over only on purpose.
  if (before !== null && !before.ok && !params.write) throw new RpcError(before.error);
  const file = join(kitDir, ledgerName);
  if (params.write && text !== recorded.value) {
    const written = await intoFolder(kitDir, () => writeAside(file, [new TextEncoder().encode(text)], true));
    if (!written.ok) throw new RpcError(written.error);
  }
  return { kit: report.kit, report, file, text, was: recorded.value, changes: changesFrom(before, ledger) };
}

/** Null where there was no ledger, or none that can be read. */
function changesFrom(
  before: ReturnType<typeof readLedger> | null,
  ledger: ReturnType<typeof ledgerOf>,
): readonly LedgerChange[] | null {
  return before?.ok ? compareLedgers(before.value, ledger) : null;
}

async function hashesOf(
  manifest: Manifest,
  kitDir: string,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, PartHashes>> {
  const files = new Map<string, string | null>();
  const hashes = new Map<string, PartHashes>();
  for (const part of manifest.parts) {
    const request = partRequestOf(manifest, part, kitDir, false);
    if (request === null) continue;
    // Halves and copies share a file.
    if (!files.has(request.path)) files.set(request.path, await hashPartFile(kitDir, request.path, signal));
    const stl = files.get(request.path)!;
    if (stl !== null) hashes.set(part.name, { stl, decisions: decisionsHash(request) });
  }
  return hashes;
}
