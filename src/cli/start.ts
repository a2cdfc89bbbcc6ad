import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { plural } from '../core/kit/rules/figures.ts';
import type { StartedKit } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright start [FOLDER] [--json]` */
export async function start(args: string[], { engine, terminal, signal }: CommandContext): Promise<ExitCode> {
  const { values, positionals } = parseArgs({ args, allowPositionals: true, options: commonOptions });
  if (positionals.length > 1) refuse(`One folder at a time, not ${positionals.length}.`);
  const started = await engine.call('startKit', { folder: resolve(positionals[0] ?? '.') }, { signal });
  terminal.print(values.json ? `${JSON.stringify(started, null, 2)}\n` : humanReport(started));
  return exitCodes.clean;
}

function humanReport({ file, parts, left, more }: StartedKit): string {
  return [
    `${file}: ${plural(parts.length, 'part')}.`,
    ...left.map(({ file: other, why }) => `left out: ${JSON.stringify(other)} ${why}`),
    ...(more ? ['There may be more STL files, too deep or too many: add those by hand.'] : []),
    'Next: say there how large it is printed and what your machine is, then run kitwright check.',
    '',
  ].join('\n');
}
