import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { parseManifest } from '../../src/core/kit/parseManifest.ts';
import { writeBinaryStl } from '../../src/core/mesh/writeStl.ts';
import { figureMesh } from '../../src/lamplighter/figureMesh.ts';
import type { EngineProgress, KitSurfaceProgress } from '../../src/protocol/engineApi.ts';
import { startEngine } from '../../src/worker/engineClient.ts';

const usage = `npm run bench:kit -- [--parts N] [--triangles N] [--factor F]
  A kit of 40 parts of a million triangles: how soon it is listed, checked part by part, and opened again; what the
  engine takes of memory. Parts share four files and differ by their wall, so that each has a hollow of its own.
`;
const { values } = parseArgs({
  options: {
    parts: { type: 'string', default: '40' },
    triangles: { type: 'string', default: '1000000' },
    factor: { type: 'string', default: '1' },
    help: { type: 'boolean' },
  },
});
const count = Number(values.parts);
const triangles = Number(values.triangles);
const fileCount = 4;

/** Peak resident memory of this process's children so far, MiB; null where the system does not tell. */
function peakOfChildren(): number | null {
  const peaks = readdirSync('/proc').flatMap((pid) => {
    if (!/^\d+$/.test(pid)) return [];
    try {
      const status = readFileSync(`/proc/${pid}/status`, 'utf8');
      const parent = /^PPid:\s+(\d+)$/m.exec(status)?.[1];
      const peak = /^VmHWM:\s+(\d+) kB$/m.exec(status)?.[1];
      return parent === String(process.pid) && peak !== undefined ? [Number(peak) / 1024] : [];
    } catch {
      return [];
    }
  });
  return peaks.length === 0 ? null : Math.max(...peaks);
}

function makeKit(folder: string): string {
  mkdirSync(join(folder, 'parts'), { recursive: true });
  for (let file = 0; file < fileCount; file++) {
    const mesh = figureMesh(Math.round(triangles * (1 + 0.02 * file)));
    writeFileSync(join(folder, 'parts', `figure-${file}.stl`), writeBinaryStl(mesh));
  }
  const parts = Array.from({ length: count }, (_, n) => {
    const wall = (1.2 + 0.1 * Math.floor(n / fileCount)).toFixed(1);
    return `  part-${n + 1}: { file: parts/figure-${n % fileCount}.stl, wall: ${wall} }`;
  });
  const text = `kit: Forty parts
scale: { factor: ${values.factor} }
machine: { plate: [218, 200], height: 250, layer: 0.05 }
parts:
${parts.join('\n')}
`;
  writeFileSync(join(folder, 'kit.yaml'), text);
  return text;
}

interface Opening {
  readonly firstMs: number;
  readonly lastMs: number;
  /** Results that came before one of an earlier part, by how many places at most. */
  readonly outOfOrder: number;
  readonly peakMiB: number | null;
}

/** A fresh engine, as a window that opens the folder starts one. */
async function openKit(kitDir: string): Promise<Opening> {
  const engine = startEngine('dist/engine.mjs');
  const started = performance.now();
  const came: number[] = [];
  let firstMs = 0;
  const onProgress = (progress: EngineProgress): void => {
    if (progress.kind !== 'part') return;
    if (came.length === 0) firstMs = performance.now() - started;
    came.push(Number(progress.part.slice('part-'.length)) - 1);
    if (process.stderr.isTTY) process.stderr.write(`\r${came.length} of ${count} `);
  };
  try {
    await engine.call('check', { kitDir, manifestText: null, parts: null, noCache: false }, { onProgress });
    const outOfOrder = Math.max(...came.map((part, at) => part - at));
    return { firstMs, lastMs: performance.now() - started, outOfOrder, peakMiB: peakOfChildren() };
  } finally {
    engine.dispose();
  }
}

async function drawKit(kitDir: string): Promise<number> {
  const engine = startEngine('dist/engine.mjs');
  const started = performance.now();
  let bytes = 0;
  const onProgress = (progress: KitSurfaceProgress): void => {
    if (progress.kind === 'surface') bytes += progress.piece.data?.values.byteLength ?? 0;
  };
  try {
    await engine.call(
      'kitSurfaces',
      { kitDir, manifestText: null, held: [], noCache: false },
      { onProgress },
    );
    tell('  surfaces sent', `${(bytes / 2 ** 20).toFixed(1)} MiB`);
    return performance.now() - started;
  } finally {
    engine.dispose();
  }
}

const tell = (what: string, figure: string): void =>
  void process.stdout.write(`${what.padEnd(44)} ${figure}\n`);
const seconds = (ms: number): string => `${(ms / 1000).toFixed(2)} s`;

function tellOpening(what: string, { firstMs, lastMs, outOfOrder, peakMiB }: Opening): void {
  tell(`${what}: first part, all parts`, `${seconds(firstMs)}, ${seconds(lastMs)}`);
  tell('  ahead of its turn at most', `${outOfOrder} places`);
  if (peakMiB !== null) tell('  peak memory of the engine', `${peakMiB.toFixed(0)} MiB`);
}

async function main(): Promise<void> {
  if (values.help) return void process.stdout.write(usage);
  if (!existsSync('dist/engine.mjs')) throw new Error('dist/ is not built: run `npm run build` first');
  const kitDir = mkdtempSync(join(tmpdir(), 'kitwright-big-kit-'));
  try {
    const text = makeKit(kitDir);
    const started = performance.now();
    const { manifest } = parseManifest(text);
    tell(`${manifest!.parts.length} parts read from the manifest`, seconds(performance.now() - started));
    tell('whole kit drawn, nothing kept', seconds(await drawKit(kitDir)));
    tellOpening('opened for the first time', await openKit(kitDir));
    tellOpening('opened again', await openKit(kitDir));
    tell('whole kit drawn again', seconds(await drawKit(kitDir)));
    const cache = join(kitDir, '.kitwright', 'cache');
    const bytes = readdirSync(cache).reduce((sum, name) => sum + statSync(join(cache, name)).size, 0);
    tell('cache on disk', `${(bytes / 2 ** 20).toFixed(0)} MiB`);
  } finally {
    rmSync(kitDir, { recursive: true, force: true });
  }
}

await main();
