import { applyAffine } from '../core/affine.ts';
import { cellLookup } from '../core/chambers/cellLookup.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import type { ChamberReach, ReachLimits } from '../core/reach/chamberReach.ts';
import { measureReach } from '../core/reach/measureReach.ts';
import { chamberMouths } from './chamberMouths.ts';
import type { ChamberSpace } from './chamberSpace.ts';

/** What of each chamber its openings reach, print frame; nothing where the part has no openings. */
export function measureChamberReach(
  { cells, blocks, toPrint }: ChamberSpace,
  openings: readonly OpeningFacts[],
  chambers: number,
  limits: ReachLimits,
): (ChamberReach | null)[] {
  const mouths = chamberMouths(openings, chambers, toPrint);
  const lookup = cellLookup(cells);
  return mouths.map((own, chamber) => {
    const reach = measureReach(cells, lookup, blocks[chamber]!.fine, own, limits);
    return (
      reach && {
        ...reach,
        farthestAt: applyAffine(toPrint, reach.farthestAt),
        unlitAt: reach.unlitAt && applyAffine(toPrint, reach.unlitAt),
        unrinsedAt: reach.unrinsedAt && applyAffine(toPrint, reach.unrinsedAt),
      }
    );
  });
}
