import { parseArgs } from 'node:util';
import { journalText } from '../core/kit/journal/journalText.ts';
import type { JournalParams, KitJournal } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright journal [KIT] [--part NAME] [--write peel|pull] [--json]` */
export async function journal(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, part: { type: 'string' }, write: { type: 'string' } },
  });
  const found = await engine.call(
    'journal',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      part: values.part ?? null,
      write: writeOption(values.write),
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(
    values.json ? `${JSON.stringify(found, null, 2)}\n` : humanReport(found, values.write !== undefined),
  );
  return exitCodes.clean;
}

function writeOption(text: string | undefined): JournalParams['write'] {
  if (text === undefined) return null;
  if (text === 'peel') return 'film.peel';
  return text === 'pull' ? 'limits.pull' : refuse(`--write takes peel or pull, not \`${text}\`.`);
}

function humanReport(found: KitJournal, asked: boolean): string {
  const wrote =
    found.written === null
      ? 'The prints give no other number: kit.yaml is as it was.'
      : `${found.written} is written into kit.yaml.`;
  return [`${found.kit}:`, ...journalText(found), ...(asked ? [wrote] : []), ''].join('\n');
}
