import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import type { ProofAsk } from '../core/proof/proofPlace.ts';
import type { Vec3 } from '../core/vector.ts';
import type { ProofReport } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, numberOption, refuse, threeNumbers } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** Least and greatest of `--size`, mm, both left out. */
const sizes = { above: 2, below: 301 };

/** `kitwright proof [KIT] --part NAME [--of vents/0|keys/0|ceiling|wall | --at X,Y,Z] [--size MM] [--out DIR] [--format stl|3mf] [--json]` */
export async function proof(args: string[], { engine, terminal, signal }: CommandContext): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      part: { type: 'string' },
      of: { type: 'string' },
      at: { type: 'string' },
      size: { type: 'string' },
      out: { type: 'string' },
      format: { type: 'string', default: 'stl' },
    },
  });
  const { format } = values;
  if (format !== 'stl' && format !== '3mf') refuse(`--format takes stl or 3mf, not \`${format}\`.`);
  const params = {
    kitDir: kitFolder(positionals),
    manifestText: null,
    part: values.part ?? refuse('Name the part: --part NAME.'),
    ask: askOf(values.of, values.at),
    size: values.size === undefined ? null : numberOption('size', values.size, 0, sizes),
    out: values.out === undefined ? null : resolve(values.out),
    format,
    noCache: values['no-cache'],
  } as const;
  const report = await engine.call('proof', params, { signal, onProgress: terminal.progress });
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : humanReport(report));
  return exitCodes.clean;
}

function askOf(of: string | undefined, at: string | undefined): ProofAsk | null {
  if (of !== undefined && at !== undefined) refuse('Say --of or --at, not both.');
  if (at !== undefined) return { kind: 'place', at: pointOption(at) };
  if (of === undefined) return null;
  if (of === 'ceiling' || of === 'wall') return { kind: of };
  const key = /^keys\/(\d{1,6})$/.exec(of);
  if (key !== null) return { kind: 'key', index: Number(key[1]) };
  if (/^(vents|drains|tubes)\/\d{1,6}$/.test(of)) return { kind: 'opening', id: of };
  return refuse(`--of takes an opening like vents/0, a key like keys/0, ceiling or wall, not \`${of}\`.`);
}

const pointOption = (text: string): Vec3 =>
  threeNumbers(text, 1e6) ??
  refuse(`--at takes a point in the STL’s own coordinates like 3.5,0.2,61.2, not \`${text}\`.`);

function humanReport(report: ProofReport): string {
  const { part, file, size_mm, volume_ml, liquid_ml, layers, hours, why, look, notes } = report;
  return [
    `${part}: ${file} (a box of ${size_mm} mm, ${volume_ml.toFixed(2)} ml, ${layers} layers, ${hours.toFixed(1)} h, ${liquid_ml.toFixed(2)} ml of resin)`,
    `${part}: ${why}`,
    `${part}: ${look}`,
    ...notes.map((note) => `${part}: ${note}`),
    '',
  ].join('\n');
}
