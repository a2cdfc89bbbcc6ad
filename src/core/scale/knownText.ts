import { figure } from '../kit/rules/figures.ts';
import { bodySpread } from './bodyMeasures.ts';
import type { KnownLength } from './knownLength.ts';

/** `130 units for 1768 mm on the subject`. */
export function knownText({ source, known }: KnownLength): string {
  const units = figure(source, 'units');
  if (known.kind === 'subject') return `${units} for ${figure(known.mm, 'mm')} on the subject`;
  if (known.kind === 'print') return `${units} for ${figure(known.mm, 'mm')} in print`;
  const { mean, deviation } = bodySpread(known.measure, known.sex);
  const whose = known.sex === null ? '' : ` of ${known.sex}`;
  return `${units} for the ${known.measure}${whose}, ${mean.toFixed(0)} ± ${deviation.toFixed(0)} mm,`;
}
