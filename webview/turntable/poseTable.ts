import { type PoseProposalReport, type PoseReport, whatIsShort } from '../../src/core/pose/poseReport.ts';
import { element } from '../shared/element.ts';

/** Every figure of the poses, a column for each. */
export function poseTable({ now, poses }: PoseProposalReport): HTMLTableElement {
  const columns: readonly (PoseReport & { readonly why: string })[] = [
    { ...now, why: whatIsShort(now) },
    ...poses,
  ];
  const heads = ['', 'As it was', ...poses.map((_, n) => `Pose ${n + 1}`)];
  const body = rows.map(([label, of]) =>
    element(
      'tr',
      {},
      element('th', { scope: 'row' }, label),
      ...columns.map((pose) => element('td', {}, of(pose))),
    ),
  );
  return element(
    'table',
    { class: 'pose-table' },
    element('caption', {}, 'Figures of the poses'),
    element('thead', {}, element('tr', {}, ...heads.map((head) => element('th', { scope: 'col' }, head)))),
    element('tbody', {}, ...body),
  );
}

const size = (mm: readonly number[]): string => mm.map((one) => one.toFixed(0)).join(' × ');

const rows: readonly (readonly [
  label: string,
  of: (pose: PoseReport & { readonly why: string }) => string,
])[] = [
  ['Why', ({ why }) => why],
  ['Turn, °', ({ turn }) => turn.join(', ')],
  ['Size, mm', ({ size_mm }) => size(size_mm)],
  ['On the plate with feet, mm', ({ held_mm }) => size(held_mm)],
  ['Raised, mm', ({ raise_mm }) => String(raise_mm)],
  ['Hours', ({ hours }) => hours.toFixed(1)],
  ['Starts in mid-air', ({ islands }) => String(islands)],
  ['Overhang, mm²', ({ overhang_mm2 }) => String(overhang_mm2)],
  ['Of it on the show side, mm²', ({ show_overhang_mm2 }) => String(show_overhang_mm2)],
  ['Greatest pull of solid, N', ({ peak_pull_n }) => peak_pull_n.toFixed(0)],
  ['Its greatest rise, N', ({ pull_jump_n }) => pull_jump_n.toFixed(0)],
  ['Hollows that want a vent', ({ cups }) => String(cups)],
  ['Largest flat floor, mm²', ({ floor_mm2 }) => String(floor_mm2)],
  ['Openings from their ends, mm', ({ openings_away_mm }) => openings_away_mm.toFixed(0)],
];
