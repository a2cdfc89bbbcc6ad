import { execFileSync, spawn } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import type { RpcError } from '../../src/protocol/rpc.ts';
import { startEngine } from '../../src/worker/engineClient.ts';
import { sphere, toStl } from '../shapes.ts';
import { manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
const manifest = `${manifestHead}parts:
  globe: { file: parts/globe.stl }
  ball: { file: parts/ball.stl }
`;
const stl = toStl(sphere(58, 500));
const kitDir = writeKit(join(folder.path, 'kit'), manifest, {
  'parts/globe.stl': stl,
  'parts/ball.stl': stl,
});
afterAll(() => folder.remove());

const posix = process.platform !== 'win32';
const sleep = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** The engines that a process has started. */
function enginesOf(parent: number): number[] {
  const rows = execFileSync('ps', ['-A', '-o', 'pid=,ppid=,args='], { encoding: 'utf8' }).trim().split('\n');
  return rows.flatMap((row) => {
    const [pid, ppid, ...args] = row.trim().split(/\s+/);
    return Number(ppid) === parent && args.some((arg) => arg.endsWith('engine.mjs')) ? [Number(pid)] : [];
  });
}

function isThere(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return !execFileSync('ps', ['-o', 'stat=', '-p', String(pid)], { encoding: 'utf8' }).startsWith('Z');
  } catch {
    return false;
  }
}

async function until(holds: () => boolean): Promise<boolean> {
  for (let tries = 0; tries < 400 && !holds(); tries++) await sleep(25);
  return holds();
}

it.runIf(posix)('is gone, with its threads at work, when the folder is closed', async () => {
  const before = enginesOf(process.pid);
  const engine = startEngine(join(root, 'dist/engine.mjs'));
  let working = () => {};
  const atWork = new Promise<void>((resolve) => {
    working = resolve;
  });
  const check = engine
    .call(
      'check',
      { kitDir, manifestText: null, parts: null, noCache: true },
      { onProgress: (progress) => progress.kind === 'stage' && progress.stage === 'hollowing' && working() },
    )
    .catch((error: RpcError) => error.failure.code);
  await atWork;
  const [pid] = enginesOf(process.pid).filter((one) => !before.includes(one));
  expect(isThere(pid!)).toBe(true);
  engine.dispose();
  expect(await check).toBe('engine-stopped');
  expect(await until(() => !isThere(pid!))).toBe(true);
});

it.runIf(posix)('is gone when its parent was killed', async () => {
  const parent = spawn(process.execPath, [join(root, 'dist/kitwright.mjs'), 'check', kitDir, '--no-cache']);
  expect(await until(() => enginesOf(parent.pid!).length === 1)).toBe(true);
  const [pid] = enginesOf(parent.pid!);
  await sleep(1000);
  expect(isThere(pid!)).toBe(true);
  parent.kill('SIGKILL');
  expect(await until(() => !isThere(pid!))).toBe(true);
});
