import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { nearestWord } from '../nearestWord.ts';

/** A part asks for a cut that `cuts` does not describe, or not well enough to be made. */
export function cutUnknown({ cuts, parts }: Manifest): FindingDraft[] {
  const known = [...cuts.keys()];
  return parts.flatMap(({ name: part, cuts: asked }) =>
    asked
      .filter(({ cut }) => cut === null)
      .map(({ name }): FindingDraft => {
        const nearest = nearestWord(name, known);
        const advice =
          nearest !== null
            ? `did you mean ${shorten(nearest)}?`
            : known.length > 0
              ? `known are ${known.slice(0, 8).map(shorten).join(', ')}.`
              : 'there is none.';
        return {
          code: 'cut-unknown',
          part,
          path: ['parts', part, 'cut', name],
          atKey: true,
          message: `${part} is half of the cut ${shorten(name)}, of which cuts has no plane, so it is taken whole; ${advice}`,
        };
      }),
  );
}
