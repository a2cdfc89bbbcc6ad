import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { writeBinaryStl } from '../../src/core/mesh/writeStl.ts';
import { figureMesh, figureMm } from '../../src/lamplighter/figureMesh.ts';
import { commandLineStages } from './commandLine.ts';
import { engineStages, layerHeightStages } from './engineStages.ts';
import { manifoldStages, threeStages } from './references.ts';
import { growthTable, type SizeResult, sizeTable } from './report.ts';
import { type Summary, summarise, type Timed } from './timing.ts';

const usage = `npm run bench -- [TRIANGLES …] [--rounds N] [--no-references] [--no-command-line]
  Every stage of the engine on generated figures (200000 1000000 2000000), one thread, beside npm
  reference libraries. Each round of each is a process of its own, and they take turns; machines are
  noisy: compare ratios, not seconds.`;

/** Above this manifold-3d runs out of its 4 GiB. */
const mostForManifold = 3_000_000;
const layersMm = [0.1, 0.05, 0.025];
const folder = '.cache/bench';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    rounds: { type: 'string', default: '3' },
    'no-references': { type: 'boolean', default: false },
    'no-command-line': { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
    job: { type: 'string' },
    file: { type: 'string' },
  },
});

/** What a child process does: one round of one kind on one file. */
const jobs: Readonly<Record<string, (file: string) => Timed[] | Promise<Timed[]>>> = {
  engine: (file) => engineStages(readFileSync(file), 0.05),
  heights: (file) => layerHeightStages(readFileSync(file), layersMm),
  three: (file) => threeStages(readFileSync(file)),
  manifold: (file) => manifoldStages(readFileSync(file)),
  'command-line': commandLineStages,
};

if (values.help) print(usage);
else if (values.job !== undefined) print(JSON.stringify(await jobs[values.job]!(values.file!)));
else benchAll();

function benchAll(): void {
  const sizes = positionals.map(Number);
  const rounds = Number(values.rounds);
  if (![...sizes, rounds].every((n) => Number.isInteger(n) && n > 0)) {
    print(usage);
    process.exitCode = 2;
    return;
  }
  print(
    `${cpus().length} × ${cpus()[0]?.model}, Node ${process.version}; figure ${figureMm.join(' × ')} mm; ${rounds} rounds`,
  );
  const wanted = sizes.length > 0 ? sizes : [200_000, 1_000_000, 2_000_000];
  const results = wanted.sort((a, b) => a - b).map((size) => benchSize(size, rounds));
  const named: string[] = [];
  if (results.length > 1) {
    const triangles = results.map((result) => result.triangles);
    const growth = growthTable(
      'triangles',
      triangles,
      results.map(({ engine }) => engine),
    );
    print(`\n${growth.table}`);
    named.push(...growth.named);
  }
  named.push(...benchHeights(wanted[wanted.length >> 1]!, rounds));
  print(
    `\n${named.length > 0 ? named.map((line) => `Not near linear: ${line}.`).join('\n') : 'Every stage is near linear.'}`,
  );
}

function benchSize(size: number, rounds: number): SizeResult {
  const file = figureFile(size);
  const kinds = ['engine'];
  if (!values['no-references']) kinds.push('three');
  if (!values['no-references'] && size <= mostForManifold) kinds.push('manifold');
  if (!values['no-command-line']) kinds.push('command-line');
  const timed = new Map<string, Timed[][]>(kinds.map((kind) => [kind, []]));
  for (let round = 0; round < rounds; round++) {
    for (const kind of kinds) timed.get(kind)!.push(runJob(kind, file));
  }
  const summaries = (kind: string): Summary[] => (timed.has(kind) ? summarise(timed.get(kind)!) : []);
  const result = {
    triangles: (readFileSync(file).length - 84) / 50,
    engine: summaries('engine'),
    references: [...summaries('three'), ...summaries('manifold')],
    commandLine: summaries('command-line'),
  };
  print(`\n${result.triangles} triangles\n\n${sizeTable(result)}`);
  return result;
}

/** Growth with layers: one figure at several layer heights. */
function benchHeights(size: number, rounds: number): string[] {
  const file = figureFile(size);
  const heights = summarise(Array.from({ length: rounds }, () => runJob('heights', file)));
  const layersOf = ({ stage }: Summary): number => Number(stage.split('|')[1]);
  const layers = [...new Set(heights.map(layersOf))];
  const columns = layers.map((count) =>
    heights
      .filter((summary) => layersOf(summary) === count)
      .map((summary) => ({ ...summary, stage: summary.stage.split('|')[0]! })),
  );
  const growth = growthTable('layers', layers, columns);
  print(`\n${size} triangles, solid, at layers of ${layersMm.join(', ')} mm\n\n${growth.table}`);
  return growth.named;
}

/** Kept from run to run; made here, so that its memory is not that of what is measured. */
function figureFile(size: number): string {
  const file = `${folder}/figure-${figureMm.join('x')}-${size}.stl`;
  if (!existsSync(file)) {
    mkdirSync(folder, { recursive: true });
    writeFileSync(file, writeBinaryStl(figureMesh(size)));
  }
  return file;
}

function runJob(job: string, file: string): Timed[] {
  const args = [fileURLToPath(import.meta.url), '--job', job, '--file', file];
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--max-old-space-size=8192', ...args], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  if (status !== 0) throw new Error(`${job} of ${file} ended with ${status}:\n${stderr}`);
  return JSON.parse(stdout) as Timed[];
}

function print(text: string): void {
  process.stdout.write(`${text}\n`);
}
