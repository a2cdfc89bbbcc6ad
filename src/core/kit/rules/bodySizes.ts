import { bodyMeasures } from '../../scale/bodyMeasures.ts';
import { expectedSize } from '../../scale/bodyPieces.ts';
import { boxAround } from '../../scale/boxAround.ts';
import { ratioOf } from '../../scale/ratioOf.ts';
import { unitGuess } from '../../scale/unitGuess.ts';
import type { Box } from '../../vector.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import { figure } from './figures.ts';
import { atPart, type KitContext, type PartContext } from './ruleContext.ts';

/** A head, a hand or a foot that would be no adult's at the common scale. */
export function partOffScale({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { scale } = manifest;
  const ratio = ratioOf(scale.finished);
  if (part.body === null || part.cuts.length > 0) return [];
  if (scale.stylised || ratio === null || scale.factor === null) return [];
  const { least, most, mean, measure } = expectedSize(part.body);
  const onSubject = longest(facts.mesh.topology.bounds) * scale.factor * ratio;
  if (onSubject >= least && onSubject <= most) return [];
  const guess = unitGuess(onSubject, [least, most]);
  const why = guess === null ? '' : ` It would be right if ${guess.words}.`;
  const limit = onSubject < least ? least : most;
  return [
    {
      code: 'part-off-scale',
      ...atPart(part),
      message: `${part.name} is ${figure(onSubject, 'mm')} at its longest on the subject at ${scale.finished}, where a ${part.body} may be ${figure(least, 'mm')} to ${figure(most, 'mm')} (${measure} ${mean.toFixed(0)} mm, ${bodyMeasures[measure].what}).${why} Export it at the scale of the others; a figure with proportions of its own says stylised: yes under scale, a part that is no ${part.body} body: none.`,
      measured: onSubject,
      limit,
      unit: 'mm',
    },
  ];
}

/** How tall a figure may be on the subject, mm: a small adult, and a tall one on a base with an arm raised. */
const figureMm = [1200, 2600] as const;

/** Parts that make a figure of a kit; and what nobody prints, as a whole, so small. */
const fewestParts = 3;
const leastPrintMm = 25;

/** The kit as a whole is the size of no figure, and would be in other units. */
export function unitsDoubtful({ manifest, facts }: KitContext): FindingDraft[] {
  const { scale, parts } = manifest;
  const ratio = ratioOf(scale.finished);
  // A few parts of many say nothing of the whole.
  if (ratio === null || scale.factor === null || scale.stylised || 2 * facts.size < parts.length) return [];
  const boxes = [...facts.values()].map(({ mesh }) => mesh.topology.bounds);
  const around = boxAround(boxes);
  if (around === null || isOnePiece(manifest)) return [];
  const units = longest(around);
  // One prop or two may be as small as a figure in other units.
  if (boxes.length < fewestParts && units * scale.factor >= leastPrintMm) return [];
  const onSubject = units * scale.factor * ratio;
  const guess = unitGuess(onSubject, figureMm);
  if (guess === null) return [];
  const factor = Number((scale.factor * guess.times).toPrecision(6));
  const isGiven = scale.derived === null;
  return [
    {
      code: 'units-doubtful',
      part: null,
      path: ['scale', isGiven ? 'factor' : 'from'],
      message: `The parts together are ${figure(units, 'units')} at their longest, ${figure(onSubject, 'mm')} on the subject at ${scale.finished}: no figure. It would be one of ${figure(onSubject * guess.times, 'mm')} if ${guess.words}: ${isGiven ? `factor: ${factor}` : 'the length corrected'} would fit.`,
      measured: onSubject,
      limit: onSubject < figureMm[0] ? figureMm[0] : figureMm[1],
      unit: 'mm',
      ...(isGiven && { remedies: [{ kind: 'factor', value: factor }] }),
    },
  ];
}

/** A head alone is held against heads. */
const isOnePiece = ({ parts }: Manifest): boolean => parts.every(({ body }) => body !== null);

const longest = ({ min, max }: Box): number => Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
