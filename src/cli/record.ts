import { parseArgs } from 'node:util';
import { changeText } from '../core/kit/ledger/compareLedgers.ts';
import type { RecordedKit } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright record [KIT] [--json]` */
export async function record(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({ args, allowPositionals: true, options: commonOptions });
  const recorded = await engine.call(
    'record',
    { kitDir: kitFolder(positionals), manifestText: null, write: true, noCache: values['no-cache'] },
    { signal, onProgress: terminal.progress },
  );
  const { kit, file, changes } = recorded;
  terminal.print(
    values.json ? `${JSON.stringify({ kit, file, changes }, null, 2)}\n` : humanReport(recorded),
  );
  return exitCodes.clean;
}

function humanReport({ kit, file, changes }: RecordedKit): string {
  if (changes === null) return `${file}: recorded for the first time.\n`;
  if (changes.length === 0) return `${file}: nothing has changed.\n`;
  return [...changes.map((change) => changeText(change, kit)), `${file}: recorded.`, ''].join('\n');
}
