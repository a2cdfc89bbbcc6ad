import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';

export const root = resolve(import.meta.dirname, '../..');
const cli = join(root, 'dist/kitwright.mjs');

export interface Run {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs the built command line; `afterStart` may signal the process. */
export function kitwright(
  args: readonly string[],
  afterStart?: (kill: (signal: NodeJS.Signals) => void) => void,
): Promise<Run> {
  if (!existsSync(cli)) throw new Error('dist/ is not built: run `npm run build` first');
  return new Promise((resolveRun) => {
    const child = spawn(process.execPath, [cli, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
    let out = '';
    let err = '';
    child.stdout.on('data', (data) => {
      out += data;
    });
    child.stderr.on('data', (data) => {
      err += data;
    });
    child.on('close', (code) => resolveRun({ code, out, err }));
    afterStart?.((signal) => child.kill(signal));
  });
}

/** A folder that goes when the test file is done. */
export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'kitwright-engine-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** Writes a kit folder: `kit.yaml` and files by relative path. */
export function writeKit(
  folder: string,
  manifest: string,
  files: Readonly<Record<string, Uint8Array>>,
): string {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'kit.yaml'), manifest);
  for (const [name, bytes] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), bytes);
  }
  return folder;
}

/** The head of a manifest at factor 1 on a large machine with enough of everything; every part at its own origin. */
export const manifestHead = `kit: The Lamplighter
scale: { finished: "1:4", factor: 1 }
machine:
  plate: [192, 120]
  height: 200
  layer: 0.05
  vat: 5000
resins:
  slate: { density: 1.12, viscosity: 300, on-hand: 9000 }
defaults: { wall: 1.5, resin: slate }
assembled: no
`;

/** The same of parts that stand together as the figure. */
export const assembledHead = manifestHead.replace('assembled: no\n', '');
