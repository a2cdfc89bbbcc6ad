import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Ledger } from '../../../src/core/kit/ledger/ledger.ts';
import type { Side } from '../../../src/features/ledger/chooseSides.ts';
import type { GitRepository } from '../../../src/features/ledger/gitApi.ts';
import { ScratchFolders } from '../../../src/features/ledger/scratchFolders.ts';
import { sidePart } from '../../../src/features/ledger/sidePart.ts';
import { Kit } from '../../../src/host/kits.ts';
import { Uri } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));

const manifest = 'kit: The Lamplighter\nparts:\n  torso:\n    file: parts/torso.stl\n    raise: 3\n';
const now = 'the sculpt as it is';
const then = 'the sculpt as it was';
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

let folder: string;
let scratch: ScratchFolders;
beforeEach(() => {
  folder = mkdtempSync(path.join(os.tmpdir(), 'kitwright-side-part-'));
  mkdirSync(path.join(folder, 'parts'));
  writeFileSync(path.join(folder, 'parts', 'torso.stl'), now);
  scratch = new ScratchFolders();
});
afterEach(() => {
  scratch.dispose();
  rmSync(folder, { recursive: true });
});

/** What git holds, by file name; a size may be told that is none. */
function gitOf(files: Readonly<Record<string, string>>, size?: number) {
  const held = (_: string, file: string): string => {
    const text = files[path.relative(folder, file)];
    if (text === undefined) throw new Error('does not exist');
    return text;
  };
  return {
    show: vi.fn(async (revision, file) => held(revision, file)),
    buffer: vi.fn(async (revision, file) => new TextEncoder().encode(held(revision, file))),
    getObjectDetails: vi.fn(async (revision, file) => ({ size: size ?? held(revision, file).length })),
    log: async () => [],
    getRefs: async () => [],
  } satisfies GitRepository;
}

const side = (stl: string | null, revision: string | null = 'abc'): Side => ({
  revision,
  name: 'abc (as it was)',
  short: 'abc',
  ledger: { kit: 'k', parts: stl === null ? {} : { torso: { stl } }, findings: {} } as unknown as Ledger,
});

const kit = (): Kit => {
  const uri = Uri.file(path.join(folder, 'kit.yaml'));
  return new Kit(uri as unknown as Kit['uri'], '# as it is typed');
};
const ask = (repository: GitRepository, of: Side) => sidePart({ repository, scratch }, kit(), of, 'torso');

it('takes the folder as it stands in the editor, and asks git for nothing', async () => {
  const git = gitOf({});
  const part = await ask(git, side(sha256(then), null));
  expect(part.ok && part.value.source).toEqual({ kitDir: folder, manifestText: '# as it is typed' });
  expect(git.show).not.toHaveBeenCalled();
});

it('takes the mesh in the folder where it is the recorded one', async () => {
  const git = gitOf({ 'kit.yaml': manifest });
  const part = await ask(git, side(sha256(now)));
  expect(part.ok && part.value.source).toEqual({ kitDir: folder, manifestText: manifest });
  expect(git.buffer).not.toHaveBeenCalled();
});

it.each([
  ['another was recorded', sha256(then)],
  ['none was recorded', null],
])('takes the mesh out of git where %s, into a folder that goes with it', async (_, stl) => {
  const part = await ask(gitOf({ 'kit.yaml': manifest, 'parts/torso.stl': then }), side(stl));
  if (!part.ok) throw new Error(part.error.message);
  const { kitDir, manifestText } = part.value.source;
  expect(manifestText).toBe(manifest);
  expect(kitDir).not.toBe(folder);
  expect(readFileSync(path.join(kitDir, 'parts', 'torso.stl'), 'utf8')).toBe(then);
  expect(readdirSync(folder).sort()).toEqual(['parts']);
  expect(readFileSync(path.join(folder, 'parts', 'torso.stl'), 'utf8')).toBe(now);
  part.value.dispose();
  await vi.waitFor(() => expect(existsSync(kitDir)).toBe(false));
});

it('leaves nothing behind with the window, whatever was written late', async () => {
  const part = await ask(gitOf({ 'kit.yaml': manifest, 'parts/torso.stl': then }), side(null));
  if (!part.ok) throw new Error(part.error.message);
  const { kitDir } = part.value.source;
  mkdirSync(path.join(kitDir, '.kitwright', 'cache'), { recursive: true });
  scratch.dispose();
  expect(existsSync(path.dirname(kitDir))).toBe(false);
});

const pointer =
  'version https://git-lfs.github.com/spec/v1\noid sha256:4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393\nsize 12345\n';
it.each([
  [
    'only a pointer of git LFS',
    { 'kit.yaml': manifest, 'parts/torso.stl': pointer },
    'file-unreadable',
    /LFS/,
  ],
  ['no mesh', { 'kit.yaml': manifest }, 'file-missing', /has no parts\/torso\.stl in git/],
  ['no manifest', {}, 'manifest-unreadable', /has no kit\.yaml/],
  ['a manifest that is none', { 'kit.yaml': '- ' }, 'manifest-unreadable', /cannot be read/],
  ['another part', { 'kit.yaml': manifest.replace('torso:', 'arm:') }, 'part-unknown', /no part torso/],
])('says so where the revision has %s', async (_, files, code, message) => {
  const part = await ask(gitOf(files), side(sha256(then)));
  expect(part).toMatchObject({ ok: false, error: { code } });
  expect(part.ok ? '' : part.error.message).toMatch(message);
  expect(part.ok ? '' : part.error.message).toContain('abc (as it was)');
});

it('takes no mesh out of git that would not fit into memory', async () => {
  const git = gitOf({ 'kit.yaml': manifest, 'parts/torso.stl': then }, 2 ** 30);
  expect(await ask(git, side(null))).toMatchObject({ ok: false, error: { code: 'file-too-large' } });
  expect(git.buffer).not.toHaveBeenCalled();
});

it('writes no mesh outside of its folder, whatever the manifest of a revision names', async () => {
  const hostile = manifest.replace('parts/torso.stl', '../../torso.stl');
  const git = gitOf({ 'kit.yaml': hostile, '../../torso.stl': then });
  const part = await ask(git, side(null));
  // The engine tells that such a file is none; nothing is copied for it.
  expect(part.ok && part.value.source.kitDir).toBe(folder);
  expect(git.buffer).not.toHaveBeenCalled();
});
