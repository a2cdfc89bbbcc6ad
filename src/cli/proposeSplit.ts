import { parseArgs } from 'node:util';
import { splitProposalText } from '../core/cut/splitReport.ts';
import type { KitSplits } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose split [KIT] --part NAME… [--write] [--json]` */
export async function proposeSplit(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      part: { type: 'string', multiple: true },
      write: { type: 'boolean', default: false },
    },
  });
  const kitDir = kitFolder(positionals);
  if (values.part === undefined) refuse('Split which part? Name it with --part.');
  const proposal = await engine.call(
    'proposeSplit',
    { kitDir, manifestText: null, parts: values.part, write: values.write, noCache: values['no-cache'] },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(proposal, null, 2)}\n` : humanReport(proposal));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, parts, written, failed }: KitSplits): string {
  const texts = Object.entries(parts).map(([name, report]) => splitProposalText(name, report));
  const nothing = texts.length + failed.length === 0 ? [`${kit}: there is no part whose size is known.`] : [];
  const wrote = Object.entries(written).map(
    ([name, { back, front, cut }]) =>
      `Written into kit.yaml: ${name} is now ${back} and ${front}, the halves of the cut ${cut}.`,
  );
  return [
    ...texts,
    ...failed.map(({ part, message }) => `${part}: ${message}`),
    ...nothing,
    ...wrote,
    '',
  ].join('\n');
}
