import { relative, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { dayOf } from '../core/kit/journal/dayOf.ts';
import { type PrintResult, printResults } from '../core/kit/journal/journal.ts';
import { figure } from '../core/kit/rules/figures.ts';
import type { LoggedPrint } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright log-print [KIT] --part NAME --result RESULT [--layer N] [--photo PATH] [--words TEXT] [--date DAY] [--json]` */
export async function logPrint(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      part: { type: 'string' },
      result: { type: 'string' },
      layer: { type: 'string' },
      photo: { type: 'string' },
      words: { type: 'string' },
      date: { type: 'string' },
    },
  });
  const kitDir = kitFolder(positionals);
  const logged = await engine.call(
    'logPrint',
    {
      kitDir,
      manifestText: null,
      part: values.part ?? refuse('Name the part: --part NAME.'),
      result: resultOption(values.result),
      layer: layerOption(values.layer),
      // Named from where the person is.
      photo: values.photo === undefined ? null : resolve(values.photo),
      words: values.words?.trim() || null,
      date: values.date ?? dayOf(new Date()),
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(logged, null, 2)}\n` : humanReport(logged, kitDir));
  return exitCodes.clean;
}

function resultOption(text: string | undefined): PrintResult {
  const found = printResults.find((result) => result === text);
  return (
    found ??
    refuse(`--result takes ${printResults.join(', ')}${text === undefined ? '' : `, not \`${text}\``}.`)
  );
}

function layerOption(text: string | undefined): number | null {
  if (text === undefined) return null;
  return /^\d{1,7}$/.test(text)
    ? Number(text)
    : refuse(`--layer takes the layer of failure, from 0 at the plate, not \`${text}\`.`);
}

function humanReport({ file, entry }: LoggedPrint, kitDir: string): string {
  const { part, date, result, figures } = entry;
  const pull = figures === null ? '' : `, ${figure(figures.peak.pull_n, 'N')} at layer ${figures.peak.layer}`;
  return `${relative(kitDir, file)}: ${date} ${part}, ${result}${pull}.\n`;
}
