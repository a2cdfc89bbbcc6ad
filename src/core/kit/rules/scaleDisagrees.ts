import { disagreement, type ScaleAnswer } from '../../scale/deriveScale.ts';
import { knownText } from '../../scale/knownText.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import { figuresApart } from './figures.ts';

/** The known length that contradicts the others most, where one does. */
export function scaleDisagrees({ scale }: Manifest): FindingDraft[] {
  const { derived } = scale;
  const worst = derived?.answers.reduce<ScaleAnswer | null>(
    (most, answer) => ((answer.apart ?? 0) > (most?.apart ?? disagreement) ? answer : most),
    null,
  );
  if (derived === null || worst === null || worst === undefined) return [];
  const { length, factor } = worst;
  const [own, all] = figuresApart(factor, derived.factor, 'mm per unit');
  const path = length.index === null ? ['scale', 'from'] : ['scale', 'from', length.index];
  return [
    {
      code: 'scale-disagrees',
      part: null,
      path,
      message: `${knownText(length)} gives a factor of ${own}, ${worst.apart!.toFixed(1)} times its uncertainty away from the other lengths; all together they give ${all}. Measure it again, or take out the one that is not of this figure.`,
      measured: factor,
      limit: derived.factor,
      unit: 'mm per source unit',
    },
  ];
}
