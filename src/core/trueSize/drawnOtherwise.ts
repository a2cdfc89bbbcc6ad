import { figure } from '../kit/rules/figures.ts';
import type { TrueSize } from './trueSize.ts';

/** How a ready file differs from the part as it is to come out; empty where it does not. */
export function drawnOtherwise({ shrinkage, spreadMm, boreLossMm }: Omit<TrueSize, 'measured'>): string[] {
  const [x, y, z] = shrinkage.map((share) => figure(100 * (1 / (1 - share) - 1), '%'));
  const alike = x === y && y === z;
  const larger = alike ? `${x} larger` : `larger by ${x} in x, ${y} in y and ${z} in z`;
  const changes = [
    ...(shrinkage.some((share) => share > 0) ? [larger] : []),
    ...(boreLossMm > 0 ? [`its bores ${figure(boreLossMm, 'mm')} wider`] : []),
    ...(spreadMm > 0 ? [`its base layers ${figure(spreadMm, 'mm')} narrower all round`] : []),
  ];
  return changes.length === 0 ? [] : [`Drawn ${changes.join(', ')}, to come out as decided.`];
}
