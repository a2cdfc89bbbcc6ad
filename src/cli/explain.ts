import { parseArgs } from 'node:util';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright explain [KIT] --part NAME` */
export async function explain(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, part: { type: 'string' } },
  });
  const explained = await engine.call(
    'explain',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      part: values.part ?? refuse('Name the part: --part NAME.'),
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(explained, null, 2)}\n` : explained.markdown);
  return explained.ok ? exitCodes.clean : exitCodes.errorsFound;
}
