import { parseArgs } from 'node:util';
import { platesProposalText } from '../core/plates/platesProposal.ts';
import type { KitPlates } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose plates [KIT] [--write] [--json]` */
export async function proposePlates(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, write: { type: 'boolean', default: false } },
  });
  const params = {
    kitDir: kitFolder(positionals),
    manifestText: null,
    write: values.write,
    noCache: values['no-cache'],
  };
  const proposal = await engine.call('proposePlates', params, { signal, onProgress: terminal.progress });
  const { manifestText: _, ...told } = proposal;
  terminal.print(values.json ? `${JSON.stringify(told, null, 2)}\n` : humanReport(proposal, values.write));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, plates, left, failed }: KitPlates, written: boolean): string {
  const wrote = written && failed === null && Object.keys(plates).length > 0;
  return [
    `${kit}: ${platesProposalText(plates, left)}`,
    ...(failed === null ? [] : [failed]),
    ...(wrote ? ['Written into kit.yaml.'] : []),
    '',
  ].join('\n');
}
