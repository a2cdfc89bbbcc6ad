import type { ExitCode } from './exitCodes.ts';
import { refuse } from './options.ts';
import { proposeOpenings } from './proposeOpenings.ts';
import { proposePins } from './proposePins.ts';
import { proposePlates } from './proposePlates.ts';
import { proposePose } from './proposePose.ts';
import { proposeSplit } from './proposeSplit.ts';
import { proposeSupports } from './proposeSupports.ts';
import type { CommandContext } from './terminal.ts';

const proposals = {
  openings: proposeOpenings,
  pose: proposePose,
  supports: proposeSupports,
  split: proposeSplit,
  plates: proposePlates,
  pins: proposePins,
} as const;

/** `kitwright propose openings …`, `… pose …`, `… supports …`, `… split …`, `… plates …`, `… pins …` */
export async function propose(args: string[], context: CommandContext): Promise<ExitCode> {
  const at = args.findIndex((arg) => Object.hasOwn(proposals, arg));
  if (at < 0)
    refuse(
      'Propose what? `kitwright propose openings`, `… pose`, `… supports`, `… split`, `… plates` or `… pins`.',
    );
  return proposals[args[at] as keyof typeof proposals](args.toSpliced(at, 1), context);
}
