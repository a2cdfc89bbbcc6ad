import { parseArgs } from 'node:util';
import { changesOf, proposalText } from '../core/propose/proposalReport.ts';
import type { KitProposal } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose openings [KIT] [--part NAME]… [--write] [--json]` */
export async function proposeOpenings(
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
  const proposal = await engine.call(
    'propose',
    {
      kitDir,
      manifestText: null,
      parts: values.part ?? null,
      write: values.write,
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  const { manifestText: _, ...told } = proposal;
  terminal.print(values.json ? `${JSON.stringify(told, null, 2)}\n` : humanReport(proposal, values.write));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, parts, failed }: KitProposal, written: boolean): string {
  const texts = Object.entries(parts).map(([name, report]) => proposalText(name, report));
  const isChanged = Object.values(parts).some((report) => changesOf(report) > 0);
  return [
    ...texts,
    ...failed.map(({ part, message }) => `${part}: ${message}`),
    ...(texts.length + failed.length === 0 ? [`${kit}: no part is hollow.`] : []),
    ...(written ? [isChanged ? 'Written into kit.yaml.' : 'Nothing to write.'] : []),
    '',
  ].join('\n');
}
