import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { poseProposalText } from '../core/pose/poseReport.ts';
import type { KitPoses } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose pose [KIT] [--part NAME]… [--write NUMBER] [--pictures DIR] [--json]` */
export async function proposePose(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      part: { type: 'string', multiple: true },
      write: { type: 'string' },
      pictures: { type: 'string' },
    },
  });
  const kitDir = kitFolder(positionals);
  const write = values.write === undefined ? null : Number(values.write);
  if (write !== null && !(Number.isInteger(write) && write >= 1))
    refuse(`--write takes the number of a pose, from 1, not \`${values.write}\`.`);
  const proposal = await engine.call(
    'proposePose',
    {
      kitDir,
      manifestText: null,
      parts: values.part ?? null,
      write,
      pictures: values.pictures === undefined ? null : { into: resolve(values.pictures) },
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(proposal, null, 2)}\n` : humanReport(proposal, write));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, parts, pictures, failed }: KitPoses, written: number | null): string {
  const texts = Object.entries(parts).map(([name, report]) => poseProposalText(name, report));
  const nothing = texts.length + failed.length === 0 ? [`${kit}: there is no part whose size is known.`] : [];
  const drawn = Object.values(pictures).flatMap((files) => files.map((file) => `Picture: ${file}`));
  const wrote = written === null ? [] : [`Written into kit.yaml: pose ${written} of each part that has one.`];
  return [
    ...texts,
    ...failed.map(({ part, message }) => `${part}: ${message}`),
    ...nothing,
    ...drawn,
    ...wrote,
    '',
  ].join('\n');
}
