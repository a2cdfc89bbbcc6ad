import { applyAffine } from '../../affine.ts';
import type { Vec3 } from '../../vector.ts';
import type { FindingDraft } from '../finding.ts';
import { figure, figuresApart } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/** Told at the part that the figure stands on, at the edge over which it falls. */
export function figureTipsOver({ manifest, assembled }: KitContext): FindingDraft[] {
  if (assembled === null) return [];
  const { figure: whole, toPrint, leftOut } = assembled;
  const limit = manifest.limits.tipAngle;
  const part = whole.standsOn[0];
  if (part === undefined || !(whole.tipDeg < limit)) return [];
  const [angle, most] = figuresApart(whole.tipDeg, limit, '°').map((text) => text.replace(' ', ''));
  const how =
    whole.tipDeg < 0
      ? `falls over toward ${sideOf(whole.tipsToward)} as it stands: its centre of mass is beyond the edge of its footing`
      : `falls over toward ${sideOf(whole.tipsToward)} when what it stands on is tilted by ${angle}, under ${most}`;
  const without = leftOut.length === 0 ? '' : ` ${leftOut.join(', ')} not counted.`;
  return [
    {
      code: 'figure-tips-over',
      part,
      path: ['parts', part],
      atKey: true,
      message: `The figure put together ${how} (${figure(whole.massG, 'g')}, its centre ${figure(whole.heightMm, 'mm')} up). Widen the base that way, fill something low down, or print the high parts hollow.${without}`,
      at: applyAffine(toPrint, whole.tipsAt),
      measured: whole.tipDeg,
      limit,
      unit: '°',
    },
  ];
}

/** `x+`, or `x+ and y−` between two: the source axes that a direction follows most. */
function sideOf(way: Vec3): string {
  const most = Math.max(...way.map(Math.abs));
  const names = way.flatMap((along, axis) =>
    Math.abs(along) > 0.4 * most ? [`${'xyz'[axis]}${along > 0 ? '+' : '−'}`] : [],
  );
  return names.join(' and ');
}
