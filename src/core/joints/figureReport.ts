import { roundTo, roundVec3 } from '../kit/rounding.ts';
import { scale, type Vec3 } from '../vector.ts';
import type { FigureFacts } from './figureFacts.ts';

/** The figure put together, in `check --json` under `assembled`. Sizes in print mm, places in source coordinates. */
export interface FigureReport {
  readonly mass_g: number;
  /** Centre of mass, and its height above what the figure stands on. */
  readonly at_source: Vec3;
  readonly height_mm: number;
  readonly up_source: Vec3;
  /** The parts that touch the ground, the lowest first; the area within the hull round what touches. */
  readonly stands_on: readonly string[];
  readonly footing_mm2: number;
  /** How far the ground may be tilted before it falls; negative when it falls as it is. */
  readonly tip_deg: number;
  /** Over which side it falls: a level direction in source axes, and the nearest point of that edge. */
  readonly tips_toward_source: Vec3;
  readonly tips_at_source: Vec3;
  /** Parts that are not in these figures: not measured, not closed, or mirror images only. */
  readonly left_out: readonly string[];
}

export function figureReport({ figure, leftOut }: FigureFacts, factor: number): FigureReport {
  const source = (at: Vec3): Vec3 => roundVec3(scale(at, 1 / factor), 4);
  return {
    mass_g: roundTo(figure.massG, 2),
    at_source: source(figure.at),
    height_mm: roundTo(figure.heightMm, 2),
    up_source: roundVec3(figure.up, 4),
    stands_on: figure.standsOn,
    footing_mm2: roundTo(figure.footingMm2, 1),
    tip_deg: roundTo(figure.tipDeg, 2),
    tips_toward_source: roundVec3(figure.tipsToward, 3),
    tips_at_source: source(figure.tipsAt),
    left_out: leftOut,
  };
}

/** One line of text. */
export function figureLine({ mass_g, height_mm, stands_on, tip_deg, left_out }: FigureReport): string {
  const without = left_out.length === 0 ? '' : `, without ${left_out.join(', ')}`;
  const how = tip_deg < 0 ? 'falls over as it stands' : `falls over at ${tip_deg.toFixed(1)}°`;
  return `figure: ${mass_g.toFixed(0)} g, its centre of mass ${height_mm.toFixed(0)} mm up, stands on ${stands_on.join(', ')}, ${how}${without}`;
}
