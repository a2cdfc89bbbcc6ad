import { cpSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { applyEdits, setValue } from '../../src/core/kit/edits.ts';
import type { RemedyAsk } from '../../src/core/kit/remedyAsk.ts';
import { type EngineClient, startEngine } from '../../src/worker/engineClient.ts';
import { root, temporaryFolder } from './kitwright.ts';

const folder = temporaryFolder();
const kitDir = join(folder.path, 'lamplighter');
let engine: EngineClient;
let text: string;
beforeAll(() => {
  cpSync(join(root, 'sample-workspace'), kitDir, {
    recursive: true,
    filter: (path) => !path.includes('.kitwright') && !path.endsWith('/ready'),
  });
  text = readFileSync(join(kitDir, 'kit.yaml'), 'utf8');
  engine = startEngine(join(root, 'dist/engine.mjs'));
});
afterAll(() => {
  engine.dispose();
  folder.remove();
});

const ask = (part: string, remedy: RemedyAsk) =>
  engine.call('remedy', { kitDir, manifestText: text, part, ask: remedy, noCache: false });

async function codesOf(manifestText: string, part: string): Promise<string[]> {
  const { findings } = await engine.call('check', { kitDir, manifestText, parts: [part], noCache: false });
  return findings
    .filter((finding) => finding.part === part)
    .map(({ code, opening }) => `${code} ${opening ?? ''}`);
}

it('the drain of the sample that lies off the surface finds its place, the same each time', async () => {
  const find = { kind: 'find-place', opening: 'drains/0' } as const;
  const answer = await ask('lowered-arm', find);
  expect(answer.said).toMatch(/^Move the drain 0 to the nearest good place \(\d+(\.\d+)? mm away\)/);
  expect(await ask('lowered-arm', find)).toEqual(answer);
  const after = applyEdits(text, answer.edits!);
  expect(after.match(/#.*/g)).toEqual(text.match(/#.*/g));
  const [before, then] = [await codesOf(text, 'lowered-arm'), await codesOf(after, 'lowered-arm')];
  expect(before).toContain('opening-off-surface drains/0');
  expect(then.filter((told) => told.includes('drains/0'))).toEqual([]);
}, 120_000);

it('the ladder of the sample finds a wall with which it is hollow', async () => {
  const answer = await ask('ladder', { kind: 'find-wall' });
  expect(answer).toMatchObject({
    large: true,
    said: expect.stringMatching(/^Give ladder a wall of 1\.\d mm: /),
  });
  const after = applyEdits(text, answer.edits!);
  expect(await codesOf(text, 'ladder')).toContain('too-thin-to-hollow ');
  expect(await codesOf(after, 'ladder')).not.toContain('too-thin-to-hollow ');
  // A tenth of a millimetre more and it stays solid again.
  const wall = Number(/wall of (\S+) mm/.exec(answer.said)![1]);
  const thicker = applyEdits(
    text,
    setValue(text, ['parts', 'ladder', 'wall'], Number((wall + 0.1).toFixed(1))),
  );
  expect((await codesOf(thicker, 'ladder')).join()).toMatch(/too-thin-to-hollow|chamber-left-solid/);
}, 120_000);

it('an opening or a part that is not there is told', async () => {
  expect((await ask('lowered-arm', { kind: 'find-place', opening: 'vents/9' })).edits).toBeNull();
  await expect(ask('nobody', { kind: 'find-wall' })).rejects.toThrow();
  await expect(ask('satchel', { kind: 'find-wall' })).rejects.toThrow(/ends after/);
}, 60_000);
