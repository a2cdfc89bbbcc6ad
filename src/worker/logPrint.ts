import { existsSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { appendPrint } from '../core/kit/journal/appendPrint.ts';
import { printEntry } from '../core/kit/journal/printEntry.ts';
import { isDate, readJournal } from '../core/kit/journal/readJournal.ts';
import { decisionsHash } from '../pipeline/decisionsHash.ts';
import { hashPartFile } from '../pipeline/hashPartFile.ts';
import { intoFolder } from '../pipeline/intoFolder.ts';
import { journalName, readJournalFile } from '../pipeline/readJournalFile.ts';
import { writeAside } from '../pipeline/writeAside.ts';
import type { LoggedPrint, LogPrintParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { measureKit } from './measureKit.ts';

/**
 * `logPrint`: one more print at the end of the journal, with the settings and figures of the part as they stand now.
 * The journal is read first: one that cannot be read is left alone.
 */
export async function logPrint(params: LogPrintParams, context: EngineContext): Promise<LoggedPrint> {
  const { kitDir, noCache, date, result, layer, photo, words } = params;
  if (!isDate(date)) refuse(`The date must be a day as 2026-11-03, not \`${date}\`.`);
  await journalText(kitDir);
  const shown = photo === null ? null : photoPath(kitDir, photo);
  const { text, manifest, part, request } = await askedPart(params, noCache);
  const source = { ...params, manifestText: text };
  const { measured } = await measureKit(source, [part.name], noCache, context, 'measure', () => {});
  const facts = measured.get(part.name)?.facts;
  const stl = await hashPartFile(kitDir, request.path, context.call.signal);
  if (facts === undefined || stl === null)
    throw new RpcError({
      code: 'file-unreadable',
      message: `${part.name} cannot be measured, so there are no figures to log; see what the check says.`,
    });
  if (layer !== null && layer >= facts.layers.layers)
    refuse(`${part.name} has the layers 0 to ${facts.layers.layers - 1}; it cannot have failed at ${layer}.`);
  const told = { date, result, layer, photo: shown, words };
  const entry = printEntry(told, manifest, part, facts, { stl, decisions: decisionsHash(request) });
  const before = await journalText(kitDir);
  const after = appendPrint(before, entry);
  if (after === null)
    throw new RpcError({
      code: 'journal-unreadable',
      message: `Nothing can be added to the end of ${journalName} as it stands: it must be a list with an entry to each "- ", and nothing behind it.`,
    });
  const file = join(kitDir, journalName);
  const written = await intoFolder(kitDir, () => writeAside(file, [new TextEncoder().encode(after)], true));
  if (!written.ok) throw new RpcError(written.error);
  return { kit: manifest.kit, file, entry };
}

/** As it stands, whole and readable. */
export async function journalText(kitDir: string): Promise<string> {
  const text = await readJournalFile(kitDir);
  if (!text.ok) throw new RpcError(text.error);
  const read = readJournal(text.value ?? '');
  if (!read.ok) throw new RpcError(read.error);
  return text.value ?? '';
}

function photoPath(kitDir: string, photo: string): string {
  const path = resolve(kitDir, photo);
  if (!existsSync(path)) refuse(`There is no photo ${path}.`);
  return relative(kitDir, path).replaceAll('\\', '/');
}

function refuse(message: string): never {
  throw new RpcError({ code: 'option-invalid', message });
}
