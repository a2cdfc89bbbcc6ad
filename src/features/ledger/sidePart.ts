import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { pipeline } from 'node:stream/promises';
import type * as vscode from 'vscode';
import { parseManifest } from '../../core/kit/parseManifest.ts';
import { failure, type Result, success } from '../../core/result.ts';
import type { Kit } from '../../host/kits.ts';
import type { KitSource } from '../../protocol/engineApi.ts';
import type { Side } from './chooseSides.ts';
import type { GitRepository } from './gitApi.ts';
import type { ScratchFolders } from './scratchFolders.ts';

/** Above this a mesh is not taken out of git: it would pass through memory whole. */
const mostBytes = 512 * 1024 * 1024;
const mostPointerBytes = 1024;

/** Where the engine finds a part as one side of a comparison has it. `dispose` removes what was copied for it. */
export interface SidePart extends vscode.Disposable {
  readonly source: KitSource;
}

/** Where revisions are read, and what of them the engine cannot read there is put. */
export interface PartPlaces {
  readonly repository: GitRepository;
  readonly scratch: ScratchFolders;
}

/**
 * A part of a revision: its own manifest, with the mesh from the folder where that is the recorded one, else
 * from git into a folder of its own. The working tree stays as it is.
 */
export async function sidePart(
  { repository, scratch }: PartPlaces,
  kit: Kit,
  { revision, name, ledger }: Side,
  part: string,
): Promise<Result<SidePart>> {
  if (revision === null) return success({ source: kit.source, dispose: nothing });
  const text = await repository.show(revision, kit.uri.fsPath).catch(() => null);
  if (text === null)
    return failure('manifest-unreadable', `${name} has no kit.yaml. Commit it together with its ledger.`);
  const { manifest } = parseManifest(text);
  if (manifest === null) return failure('manifest-unreadable', `The kit.yaml of ${name} cannot be read.`);
  const decided = manifest.parts.find((one) => one.name === part);
  if (decided === undefined)
    return failure('part-unknown', `The kit.yaml of ${name} has no part ${part}: its ledger is another’s.`);
  const inFolder = { source: { kitDir: kit.dir, manifestText: text }, dispose: nothing };
  // What the manifest lacks the engine tells better.
  if (decided.file === null) return success(inFolder);
  const file = path.join(kit.dir, decided.file);
  if (ledger.parts[part]?.stl === (await hashOf(file))) return success(inFolder);
  const bytes = await meshOf(repository, revision, file, { name, file: decided.file });
  return bytes.ok ? copied(scratch, bytes.value, decided.file, text) : bytes;
}

const nothing = (): void => {};

/** SHA-256 as hexadecimals; null where there is no such file. */
async function hashOf(file: string): Promise<string | null> {
  const hash = createHash('sha256');
  try {
    await pipeline(createReadStream(file), hash);
    return hash.digest('hex');
  } catch {
    return null;
  }
}

async function meshOf(
  repository: GitRepository,
  revision: string,
  path: string,
  { name, file }: { readonly name: string; readonly file: string },
): Promise<Result<Uint8Array>> {
  let bytes: Uint8Array;
  try {
    const { size } = await repository.getObjectDetails(revision, path);
    if (size > mostBytes)
      return failure(
        'file-too-large',
        `${file} of ${name} has ${size} bytes, too many to be taken out of git for viewing. Check that revision out and open it from disk.`,
      );
    bytes = await repository.buffer(revision, path);
  } catch {
    return failure(
      'file-missing',
      `${name} has no ${file} in git, and the one in the folder is another than it was made from. Put the mesh of that time back into the folder to see it.`,
    );
  }
  if (!isPointer(bytes)) return success(bytes);
  return failure(
    'file-unreadable',
    `Of ${file}, ${name} has only a git LFS pointer in git. Check that revision out with git LFS to see it; its mesh is another than the one in the folder.`,
  );
}

/** What git LFS commits in a file’s place begins so: its specification, v1. */
const isPointer = (bytes: Uint8Array): boolean =>
  bytes.length <= mostPointerBytes &&
  new TextDecoder().decode(bytes).startsWith('version https://git-lfs.github.com/spec/');

async function copied(
  scratch: ScratchFolders,
  bytes: Uint8Array,
  file: string,
  manifestText: string,
): Promise<Result<SidePart>> {
  try {
    const kitDir = await scratch.make();
    const copy = path.join(kitDir, file);
    await mkdir(path.dirname(copy), { recursive: true });
    await writeFile(copy, bytes);
    // The engine may still be writing to its cache in it; what it writes later goes with the window.
    const dispose = (): void => void rm(kitDir, removing).catch(nothing);
    return success({ source: { kitDir, manifestText }, dispose });
  } catch (error) {
    return failure('file-unwritable', `${file} cannot be copied out of git for viewing: ${error}`);
  }
}

const removing = { recursive: true, force: true, maxRetries: 10, retryDelay: 200 } as const;
