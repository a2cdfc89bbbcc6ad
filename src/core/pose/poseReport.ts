import { roundTo } from '../kit/rounding.ts';
import { figure, plural } from '../kit/rules/figures.ts';
import type { Vec3 } from '../vector.ts';
import type { ChosenPose } from './choosePoses.ts';
import type { PoseConcern, PoseFigures } from './poseFigures.ts';
import type { SupportRoom } from './supportRoom.ts';

/** Poses for one part, for people and programs: `propose pose --json`. */
export interface PoseProposalReport {
  /** As the manifest has it. */
  readonly now: PoseReport;
  /** The first is the best by the builder's weights; none when the part fits in no pose. */
  readonly poses: readonly (PoseReport & { readonly why: string })[];
  /** Print mm per source unit up to which the part fits in the pose that has most room for it, and what ends it there. */
  readonly largest_factor: number;
  readonly short_axis: 'x' | 'y' | 'z';
  readonly compared: number;
  /** What a pose keeps free for supports: under the part, and round every place at its rim that is held. */
  readonly support_room: { readonly raise_mm: number; readonly reach_mm: number };
  /** Whether the manifest has supports planned; what is chosen then sets `raise` too where that is too small. */
  readonly supports_planned: boolean;
}

export interface PoseReport {
  readonly turn: Vec3;
  /** The part by itself; and with the feet of its supports. */
  readonly fits: boolean;
  readonly fits_held: boolean;
  readonly size_mm: Vec3;
  /** What it takes of the plate with the feet of its supports, and how high it is raised for them. */
  readonly held_mm: readonly [x: number, y: number];
  readonly raise_mm: number;
  readonly height_mm: number;
  readonly hours: number;
  readonly islands: number;
  readonly overhang_mm2: number;
  readonly show_overhang_mm2: number;
  readonly peak_pull_n: number;
  readonly pull_jump_n: number;
  readonly cups: number;
  readonly floor_mm2: number;
  readonly openings_away_mm: number;
}

/** `factor` of the part; `hoursOf` a height in mm. */
export function poseProposalReport(
  {
    own,
    chosen,
    roomiest,
    tried,
    supports,
    isPlanned,
  }: {
    readonly own: PoseFigures;
    readonly chosen: readonly ChosenPose[];
    readonly roomiest: PoseFigures;
    readonly tried: number;
    readonly supports: SupportRoom;
    readonly isPlanned: boolean;
  },
  factor: number,
  hoursOf: (heightMm: number) => number,
): PoseProposalReport {
  const report = (figures: PoseFigures): PoseReport => ({
    turn: figures.turn,
    fits: figures.fit.fitsBare,
    fits_held: figures.fit.fits,
    size_mm: figures.fit.sizeMm.map((size) => roundTo(size, 3)) as unknown as Vec3,
    held_mm: [roundTo(figures.fit.heldMm[0], 3), roundTo(figures.fit.heldMm[1], 3)],
    raise_mm: roundTo(figures.raiseMm, 3),
    height_mm: roundTo(figures.heightMm, 3),
    hours: roundTo(hoursOf(figures.heightMm), 2),
    islands: figures.islands,
    overhang_mm2: Math.round(figures.overhangMm2),
    show_overhang_mm2: Math.round(figures.shownOverhangMm2),
    peak_pull_n: roundTo(figures.peakPullN, 1),
    pull_jump_n: roundTo(figures.jumpN, 1),
    cups: figures.cups,
    floor_mm2: Math.round(figures.floorMm2),
    openings_away_mm: roundTo(figures.openingsMm, 1),
  });
  return {
    now: report(own),
    poses: chosen.map(({ figures, best }) => ({ ...report(figures), why: whyOf(best) })),
    // Rounded down: a factor that is told must fit.
    largest_factor: Math.floor(factor * roomiest.fit.growth * 1e4) / 1e4,
    short_axis: (['x', 'y', 'z'] as const)[roomiest.fit.short],
    compared: tried,
    support_room: { raise_mm: roundTo(supports.raiseMm, 3), reach_mm: roundTo(supports.reachMm, 3) },
    supports_planned: isPlanned,
  };
}

const whyOf = (best: PoseConcern | null): string => (best === null ? 'best by your weights' : reasons[best]);

const reasons: Readonly<Record<PoseConcern, string>> = {
  show: 'least overhang on the show side',
  overhang: 'least overhang',
  islands: 'fewest regions that start in mid-air',
  pull: 'least pull',
  jumps: 'the pull rises least at once',
  cups: 'fewest hollows that want a vent',
  floors: 'the least flat floor in a hollow',
  openings: 'vents and drains nearest to the ends they belong at',
  height: 'lowest, so quickest',
};

/** A table of the poses, numbered from 1 as `--write` takes them. */
export function poseProposalText(part: string, report: PoseProposalReport): string {
  const { now, poses, largest_factor, short_axis, compared, support_room, supports_planned } = report;
  const room = `${figure(support_room.raise_mm, 'mm')} under what does not stand by itself, ${figure(support_room.reach_mm, 'mm')} round what hangs at its rim`;
  if (poses.length === 0) {
    return `${part}: fits in none of ${compared} poses with room for supports (${room}). It would at a factor of ${largest_factor} at most; the machine is short in ${short_axis}. Make it smaller, or cut it.`;
  }
  const rows = [
    heads,
    rowOf('now', now, whatIsShort(now)),
    ...poses.map((pose, n) => rowOf(String(n + 1), pose, pose.why)),
  ];
  const widths = heads.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  const lines = rows.map((row) =>
    row
      .map((cell, column) => (column === row.length - 1 ? cell : cell.padStart(widths[column]!)))
      .join('  ')
      .trimEnd(),
  );
  return [
    `${part}: ${plural(poses.length, 'pose')} out of ${compared}, figures on a grid of 0.5 mm`,
    ...lines.map((line) => `  ${line}`),
    `  Room for supports is kept: ${room}. ${supports_planned ? 'A pose that is written brings its raise.' : 'None are planned, so a pose that is written leaves raise as it is.'}`,
  ].join('\n');
}

/** Why the part as it is turned is no choice; empty where it is one. */
export const whatIsShort = ({ fits, fits_held }: Pick<PoseReport, 'fits' | 'fits_held'>): string =>
  fits ? (fits_held ? '' : 'no room for its supports') : 'does not fit';

const heads = [
  '',
  'turn',
  'size mm',
  'with feet',
  'raise',
  'hours',
  'starts',
  'overhang mm²',
  'on show',
  'pull N',
  'jump N',
  'cups',
  'floor mm²',
  'openings mm',
  '',
];

const rowOf = (name: string, pose: PoseReport, why: string): string[] => [
  name,
  `[${pose.turn.join(', ')}]`,
  pose.size_mm.map((size) => size.toFixed(0)).join(' × '),
  pose.held_mm.map((size) => size.toFixed(0)).join(' × '),
  String(pose.raise_mm),
  pose.hours.toFixed(1),
  String(pose.islands),
  String(pose.overhang_mm2),
  String(pose.show_overhang_mm2),
  pose.peak_pull_n.toFixed(0),
  pose.pull_jump_n.toFixed(0),
  String(pose.cups),
  String(pose.floor_mm2),
  pose.openings_away_mm.toFixed(0),
  why,
];
