import { parseArgs } from 'node:util';
import { changeText } from '../core/kit/ledger/compareLedgers.ts';
import { scaleText } from '../core/scale/scaleText.ts';
import type { KitScale } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, numberOption, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright scale [KIT] [--height MM [--write] | --try FACTOR] [--json]` */
export async function scale(args: string[], { engine, terminal, signal }: CommandContext): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      height: { type: 'string' },
      try: { type: 'string' },
      write: { type: 'boolean', default: false },
    },
  });
  const { height, try: tried, write } = values;
  if (height !== undefined && tried !== undefined) refuse('Ask for --height or for --try, not for both.');
  if (write && height === undefined) refuse('--write puts a height into kit.yaml: name it with --height.');
  const found = await engine.call(
    'scale',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      heightMm: height === undefined ? null : numberOption('height', height, 0, { above: 0, below: 1e6 }),
      tryFactor: tried === undefined ? null : numberOption('try', tried, 0, { above: 0, below: 100_000 }),
      write,
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(
    values.json ? `${JSON.stringify(found, null, 2)}\n` : `${humanReport(found, tried, height, write)}\n`,
  );
  return found.factor === null ? exitCodes.errorsFound : exitCodes.clean;
}

function humanReport(
  found: KitScale,
  tried: string | undefined,
  height: string | undefined,
  written: boolean,
): string {
  const { kit, failed, told, changes } = found;
  const ifSo =
    height === undefined ? '' : written ? ' (written into kit.yaml)' : ' (if it is written: --write)';
  return [
    `${kit}${ifSo}:`,
    ...scaleText(found),
    ...(height === undefined ? told : []),
    ...failed.map(({ part, message }) => `${part} is not in the size: ${message}`),
    ...(changes === null ? [] : [`At a factor of ${tried}:`, ...changeLines(changes, kit)]),
  ].join('\n');
}

const changeLines = (changes: NonNullable<KitScale['changes']>, kit: string): string[] =>
  changes.length === 0 ? ['  nothing changes'] : changes.map((change) => `  ${changeText(change, kit)}`);
