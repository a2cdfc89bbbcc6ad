import type { Flag } from '../protocol/partView.ts';
import type { ShownFinding } from './shownFinding.ts';

/**
 * The flags of one part with the numbers that Problems gives the same findings. The engine numbers
 * a view by itself, since it does not check the rest of the kit for it; each finding is used once.
 */
export function numberedFlags(
  flags: readonly Flag[],
  findings: readonly Pick<ShownFinding, 'number' | 'code' | 'message'>[],
): readonly Flag[] {
  const free = [...findings];
  return flags.flatMap((flag) => {
    const index = free.findIndex(
      ({ number, code, message }) => number !== null && code === flag.code && message === flag.message,
    );
    const number = free[index]?.number;
    if (number === undefined || number === null) return [];
    free.splice(index, 1);
    return [{ ...flag, number }];
  });
}
