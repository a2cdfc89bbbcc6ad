import { cutPlane, fromPlane, inPlane } from '../cut/cutPlane.ts';
import { heightOver } from '../cut/heightOver.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import { normalized, scale } from '../vector.ts';
import type { Part } from './manifest.ts';

/**
 * The passages through the seams of a half as openings of it: on the plane of their cut, square to it, into
 * the half. One that another cut leaves to another half is none of this one.
 */
export function passagesOf(cuts: Part['cuts']): OpeningDecision[] {
  return cuts.flatMap(({ name, side, cut }) => {
    if (cut === null) return [];
    const plane = cutPlane(cut.at, cut.toward);
    const inward = scale(normalized(cut.toward), side === 'front' ? 1 : -1);
    return cut.passages.flatMap(({ index, at, ...sizes }): OpeningDecision[] => {
      const [x, y] = inPlane(plane, at);
      const onPlane = fromPlane(plane, x, y);
      const isElsewhere = cuts.some(
        (other) =>
          other.name !== name &&
          other.cut !== null &&
          heightOver(other.cut, onPlane) > 0 !== (other.side === 'front'),
      );
      if (isElsewhere) return [];
      return [{ id: `passages/${index}/${name}`, kind: 'passage', at: onPlane, toward: inward, ...sizes }];
    });
  });
}
