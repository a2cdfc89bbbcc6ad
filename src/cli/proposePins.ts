import { parseArgs } from 'node:util';
import { pinsProposalLines } from '../core/joints/pinsProposal.ts';
import type { KitPins } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose pins [KIT] [--write] [--json]` */
export async function proposePins(
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
  const proposal = await engine.call('proposePins', params, { signal, onProgress: terminal.progress });
  const { manifestText: _, ...told } = proposal;
  terminal.print(values.json ? `${JSON.stringify(told, null, 2)}\n` : humanReport(proposal, values.write));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport(proposal: KitPins, written: boolean): string {
  const { kit, pins, failed } = proposal;
  return [
    `${kit}: holes for pins`,
    ...pinsProposalLines(proposal),
    ...(failed === null ? [] : [failed]),
    ...(written && failed === null && pins.length > 0 ? ['They stand in kit.yaml.'] : []),
    '',
  ].join('\n');
}
