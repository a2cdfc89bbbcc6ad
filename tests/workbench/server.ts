import { type ChildProcess, spawn } from 'node:child_process';
import { createWriteStream } from 'node:fs';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import os from 'node:os';
import path from 'node:path';
import type { Workbench } from './install.ts';

export interface ServerOptions {
  /** A package to install before the server starts. */
  readonly vsix?: string;
  readonly theme?: string;
  readonly smokeTestDriver?: boolean;
  readonly trust?: boolean;
  readonly environment?: NodeJS.ProcessEnv;
  readonly logFile: string;
}

export interface Server {
  readonly port: number;
  readonly url: string;
  /** Takes effect when the page is loaded again. */
  setTheme(theme: string): Promise<void>;
  /** Ends the server's own process group and removes its data. */
  stop(): Promise<void>;
}

const quietSettings = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'chat.disableAIFeatures': true,
  'chat.commandCenter.enabled': false,
  'extensions.autoCheckUpdates': false,
  'extensions.ignoreRecommendations': true,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'git.enabled': false,
  'files.autoSave': 'off',
  'security.workspace.trust.banner': 'never',
};

/** Starts VS Code's server build on a free port, with folders of its own. */
export async function startServer(workbench: Workbench, options: ServerOptions): Promise<Server> {
  const data = await mkdtemp(path.join(os.tmpdir(), 'kitwright-workbench-'));
  const folders = [
    '--server-data-dir',
    path.join(data, 'server'),
    '--extensions-dir',
    path.join(data, 'ext'),
  ];
  await writeSettings(path.join(data, 'server'), options.theme ?? 'Default Dark Modern');
  const start = (extra: readonly string[]) => spawnServer(workbench, [...folders, ...extra], options);
  if (options.vsix !== undefined) await finished(start(['--install-extension', options.vsix, '--force']));
  const port = await freePort();
  const child = start([
    ...['--host', '127.0.0.1', '--port', String(port), '--without-connection-token'],
    ...(options.trust === false ? [] : ['--disable-workspace-trust']),
    ...(options.smokeTestDriver ? ['--enable-smoke-test-driver'] : []),
  ]);
  const url = `http://127.0.0.1:${port}`;
  const stop = async () => {
    await endGroup(child);
    await rm(data, { recursive: true, force: true, maxRetries: 5 });
  };
  try {
    await answers(url, child);
  } catch (error) {
    await stop();
    throw error;
  }
  const setTheme = (theme: string) => writeSettings(path.join(data, 'server'), theme);
  return { port, url, setTheme, stop };
}

async function writeSettings(serverData: string, theme: string): Promise<void> {
  const folder = path.join(serverData, 'data', 'User');
  await mkdir(folder, { recursive: true });
  const settings = { ...quietSettings, 'workbench.colorTheme': theme };
  await writeFile(path.join(folder, 'settings.json'), JSON.stringify(settings, null, 2));
}

function spawnServer(workbench: Workbench, args: readonly string[], options: ServerOptions): ChildProcess {
  const common = ['out/server-main.js', '--accept-server-license-terms', '--telemetry-level', 'off'];
  const child = spawn(workbench.node, [...common, ...args], {
    cwd: workbench.serverDir,
    detached: true,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, EXTENSIONS_GALLERY: '{}', ...options.environment },
  });
  const log = createWriteStream(options.logFile, { flags: 'a' });
  child.stdout?.pipe(log, { end: false });
  child.stderr?.pipe(log, { end: false });
  child.once('close', () => log.end());
  return child;
}

function finished(child: ChildProcess): Promise<void> {
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', (code) =>
      code === 0 ? resolve() : reject(new Error(`Installing the package ended with ${code}.`)),
    );
  });
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() =>
        address !== null && typeof address === 'object'
          ? resolve(address.port)
          : reject(new Error('No port is free.')),
      );
    });
  });
}

async function answers(url: string, child: ChildProcess): Promise<void> {
  const deadline = Date.now() + 60_000;
  while (Date.now() < deadline) {
    if (child.exitCode !== null) throw new Error(`The workbench server ended with ${child.exitCode}.`);
    try {
      await fetch(url, { redirect: 'manual' });
      return;
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
  }
  throw new Error('The workbench server did not answer within a minute.');
}

async function endGroup(child: ChildProcess): Promise<void> {
  if (child.pid === undefined) return;
  const gone = new Promise<void>((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) resolve();
    else child.once('exit', () => resolve());
  });
  signalGroup(child.pid, 'SIGTERM');
  const timer = setTimeout(() => signalGroup(child.pid!, 'SIGKILL'), 5_000);
  await gone;
  clearTimeout(timer);
  signalGroup(child.pid, 'SIGKILL');
}

function signalGroup(pid: number, signal: NodeJS.Signals): void {
  try {
    process.kill(-pid, signal);
  } catch {
    // The group has ended already.
  }
}
