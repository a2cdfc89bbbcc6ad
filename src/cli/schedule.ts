import { parseArgs } from 'node:util';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright schedule [KIT] [--from DATE-TIME] [--json]` */
export async function schedule(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, from: { type: 'string' } },
  });
  const { markdown, ...report } = await engine.call(
    'schedule',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      fromWallMs: values.from === undefined ? null : wallMs(values.from),
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : markdown);
  return exitCodes.clean;
}

/** `2026-11-30T08:00` as it stands on the wall, whatever the zone; without a time, midnight. */
function wallMs(text: string): number {
  const whole = /^\d{4}-\d{2}-\d{2}$/.test(text) ? `${text}T00:00` : text.replace(' ', 'T');
  const ms = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/.test(whole) ? Date.parse(`${whole}Z`) : Number.NaN;
  // 30 February is read as 2 March.
  const isDay = Number.isFinite(ms) && new Date(ms).toISOString().startsWith(whole);
  return isDay ? ms : refuse(`--from takes a day and a time like 2026-11-30T08:00, not \`${text}\`.`);
}
