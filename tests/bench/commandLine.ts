import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkStages } from './checkStages.ts';
import { Stopwatch, type Timed } from './timing.ts';

const command = 'dist/kitwright.mjs';

/**
 * `inspect` and `check` of the figure by the built command line, processes started cold, and the main stages of such a
 * check; none when it is not built.
 */
export async function commandLineStages(stlFile: string): Promise<Timed[]> {
  if (!existsSync(command)) return [];
  const kit = mkdtempSync(join(tmpdir(), 'kitwright-bench-'));
  try {
    mkdirSync(join(kit, 'parts'));
    copyFileSync(stlFile, join(kit, 'parts', 'figure.stl'));
    writeFileSync(join(kit, 'kit.yaml'), manifest);
    const watch = new Stopwatch();
    watch.run('whole inspect, cold', () => run(['inspect', stlFile, '--wall', '1.5', '--json']));
    watch.run('whole check, cold', () => run(['check', kit, '--json']));
    watch.run('whole check, nothing changed', () => run(['check', kit, '--json']));
    // This process only waits; time and memory are spent in the engine that the command line starts.
    const whole = watch.timed.map((timed) => ({ ...timed, cpuMs: null, peakMiB: null }));
    return [...whole, ...(await checkStages(kit))];
  } finally {
    rmSync(kit, { recursive: true });
  }
}

const manifest = `kit: Benchmark
scale: { finished: "1:4", factor: 1 }
machine: { plate: [218, 200], height: 250, layer: 0.05 }
resins: { slate: { density: 1.18 } }
defaults: { wall: 1.5, resin: slate }
parts:
  figure: { file: parts/figure.stl }
`;

function run(args: readonly string[]): void {
  const { status, stderr } = spawnSync(process.execPath, [command, ...args], { maxBuffer: 1 << 28 });
  // 1 says that errors were found in the part, which it may have.
  if (status !== 0 && status !== 1) throw new Error(`kitwright ${args[0]} ended with ${status}: ${stderr}`);
}
