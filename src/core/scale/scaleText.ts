import { figure } from '../kit/rules/figures.ts';
import type { AnswerReport, ScaleReport } from './scaleReport.ts';

/** A scale as people read it, a line each. */
export function scaleText(report: ScaleReport): readonly string[] {
  const { factor, deviation, answers, enlarged } = report;
  if (factor === null) return ['The factor does not follow from kit.yaml.', ...heightLines(report)];
  const uncertain =
    deviation === null ? '' : ` ± ${digits(deviation)} (${figure((100 * deviation) / factor, '%')})`;
  return [
    `factor ${digits(factor)}${uncertain} mm per unit${deviation === null ? ', as given' : ''}`,
    ...answers.map((answer) => `  ${answerText(answer, answers.length)}`),
    ...(enlarged > 1
      ? [
          `  The lengths differ more than they should; the uncertainty is ${enlarged.toFixed(1)} times as large for it.`,
        ]
      : []),
    ...heightLines(report),
    ...(deviation === null ? [] : ['± is one standard deviation: two times in three the truth lies within.']),
  ];
}

const digits = (value: number): string => String(Number(value.toPrecision(value < 0.1 ? 2 : 5)));

function answerText(answer: AnswerReport, count: number): string {
  const { length, factor, deviation, spread_share, picking_share, weight, apart } = answer;
  const why = [
    ...(spread_share > 0 ? [`people differ by ${figure(100 * spread_share, '%')}`] : []),
    `its ends are known to ${figure(100 * picking_share, '%')}`,
  ].join(', ');
  const share = count === 1 ? '' : `; counts ${Math.round(100 * weight)} %`;
  const far = apart === null || apart < 2 ? '' : `; ${apart.toFixed(1)} deviations from the others`;
  return `${length.replace(/,$/, '')}: ${digits(factor)} ± ${digits(deviation)} (${why})${share}${far}`;
}

/** `the sculpt’s z`, `the sculpt’s −y`, or the way by its figures. */
function wayText(up: ScaleReport['up']): string {
  const along = up.flatMap((share, axis) => (share === 0 ? [] : [`${share < 0 ? '−' : ''}${'xyz'[axis]!}`]));
  return along.length === 1 ? `the sculpt’s ${along[0]!}` : `[${up.join(', ')}] of the sculpt`;
}

function heightLines({
  height_units,
  up,
  height_mm,
  height_deviation_mm,
  subject_height_mm,
  finished,
}: ScaleReport): string[] {
  if (height_units === null) return [];
  const units = `${figure(height_units, 'units')} along ${wayText(up)}`;
  if (height_mm === null) return [`The parts together are ${units}.`];
  const uncertain = height_deviation_mm === null ? '' : ` ± ${figure(height_deviation_mm, 'mm')}`;
  const subject =
    subject_height_mm === null ? '' : `, ${figure(subject_height_mm, 'mm')} on the subject at ${finished}`;
  return [`finished height ${figure(height_mm, 'mm')}${uncertain} (${units}${subject})`];
}
