import { link, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type StartedManifest, startManifest } from '../core/kit/startManifest.ts';
import type { FailureCode } from '../core/result.ts';
import { type FoundStls, findStls } from '../pipeline/findStls.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import { writeAside } from '../pipeline/writeAside.ts';
import type { StartedKit, StartKitParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';

const mostParts = 500;

/** `startKit`: writes a commented `kit.yaml` with a part for every STL file of a folder; never over one that is there. */
export async function startKit({ folder }: StartKitParams): Promise<StartedKit> {
  const found = await stlsOf(folder);
  const started = startManifest(basename(folder) || 'kit', found.files);
  if (started.parts.length === 0) fail('file-missing', noParts(folder, started));
  const file = join(folder, manifestName);
  await writeNew(file, started.text);
  return { file, parts: started.parts, left: started.left, more: found.more };
}

async function stlsOf(folder: string): Promise<FoundStls> {
  try {
    return await findStls(folder, mostParts);
  } catch (error) {
    return fail(
      'option-invalid',
      `${folder} cannot be read (${codeOf(error)}). Name the folder that holds the STL files.`,
    );
  }
}

function noParts(folder: string, { left }: StartedManifest): string {
  const [first] = left;
  if (first === undefined)
    return `${folder} has no STL file. Copy the sculpted parts into ${join(folder, 'parts')} and start again.`;
  return `No STL file in ${folder} can be named in a manifest: ${JSON.stringify(first.file)} ${first.why}. Rename it and start again.`;
}

/** Whole or not at all, and only where nothing is. */
async function writeNew(file: string, text: string): Promise<void> {
  try {
    const aside = `${file}.${process.pid}.new`;
    try {
      await writeAside(aside, [new TextEncoder().encode(text)], true);
      // Unlike a renamed file a link does not take the place of another.
      await link(aside, file);
    } finally {
      await rm(aside, { force: true });
    }
  } catch (error) {
    if (codeOf(error) === 'EEXIST')
      fail('option-invalid', `${file} is there already and was left alone. Add parts to it by hand.`);
    fail(
      'file-unwritable',
      `${file} cannot be written (${codeOf(error)}). Check the folder's permissions and the free space.`,
    );
  }
}

function codeOf(error: unknown): string {
  const { code } = error as NodeJS.ErrnoException;
  if (code === undefined) throw error;
  return code;
}

function fail(code: FailureCode, message: string): never {
  throw new RpcError({ code, message });
}
