import { plural } from '../../src/core/kit/rules/figures.ts';
import { type PoseReport, whatIsShort } from '../../src/core/pose/poseReport.ts';
import type { PoseChoice } from '../../src/protocol/poseChoice.ts';
import { element } from '../shared/element.ts';
import { plainButton } from './controls.ts';
import { poseTable } from './poseTable.ts';

/** Proposed poses as pictures to choose from, over the picture of the part. */
export interface PoseStrip {
  readonly root: HTMLElement;
  show(choice: PoseChoice | null): void;
  /** To the pose that is taken, else the first. */
  focus(): void;
}

export interface PoseStripEvents {
  onTake(number: number): void;
  onClose(): void;
}

export function createPoseStrip({ onTake, onClose }: PoseStripEvents): PoseStrip {
  const heading = element('h2');
  const close = plainButton('Close', onClose);
  const cards = element('ol', { class: 'pose-cards' });
  const table = element('div');
  const figures = element('details', {}, element('summary', {}, 'Figures of the poses'), table);
  const root = element(
    'section',
    { class: 'poses', hidden: true, 'aria-label': 'Proposed poses' },
    element('div', { class: 'pose-head' }, heading, close),
    cards,
    figures,
  );
  const buttons = (): HTMLButtonElement[] => [...cards.querySelectorAll('button')];
  let shown: PoseChoice | null = null;

  root.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') {
      event.preventDefault();
      onClose();
      return;
    }
    const all = buttons();
    const next = neighbour(all.indexOf(event.target as HTMLButtonElement), all.length, event.key);
    if (next === null) return;
    event.preventDefault();
    all[next]!.focus();
  });

  return {
    root,
    show(choice) {
      root.hidden = choice === null;
      // What stands is only marked anew, so that the focus stays where it is.
      if (choice !== null && isSame(choice, shown)) mark(buttons(), choice.taken);
      else fill(choice);
      shown = choice;
    },
    focus() {
      const all = buttons();
      (all.find((button) => button.getAttribute('aria-pressed') === 'true') ?? all[0])?.focus();
    },
  };

  function fill(choice: PoseChoice | null): void {
    cards.replaceChildren();
    table.replaceChildren();
    if (choice === null) return;
    const { part, report, pictures, taken } = choice;
    heading.textContent = `Poses for ${part}: choose one of ${report.poses.length}, out of ${report.compared} compared`;
    const now = element(
      'div',
      { class: 'pose now' },
      image(pictures[0]),
      ...cardLines('As it was', report.now, whatIsShort(report.now)),
    );
    const offered = report.poses.map((pose, n) => {
      const button = element(
        'button',
        { type: 'button', class: 'pose', 'aria-label': spoken(pose, n + 1) },
        image(pictures[n + 1]),
        ...cardLines(`Pose ${n + 1}`, pose, pose.why),
      );
      button.addEventListener('click', () => onTake(n + 1));
      return element('li', {}, button);
    });
    cards.append(element('li', {}, now), ...offered);
    mark(buttons(), taken);
    table.append(poseTable(report));
  }
}

/** The same poses with the same figures, whichever of them stands. */
const isSame = (a: PoseChoice, b: PoseChoice | null): boolean =>
  a.part === b?.part &&
  a.pictures.join() === b.pictures.join() &&
  JSON.stringify(a.report) === JSON.stringify(b.report);

function mark(buttons: readonly HTMLButtonElement[], taken: number | null): void {
  for (const [n, button] of buttons.entries()) {
    button.setAttribute('aria-pressed', String(n + 1 === taken));
  }
}

/** Which card a key leads to; null for keys of others. */
function neighbour(from: number, count: number, key: string): number | null {
  if (from < 0) return null;
  const to = { ArrowRight: from + 1, ArrowLeft: from - 1, Home: 0, End: count - 1 }[key];
  return to === undefined ? null : Math.min(count - 1, Math.max(0, to));
}

const image = (png: string | undefined): HTMLImageElement =>
  element('img', {
    alt: '',
    width: 120,
    height: 120,
    src: png === undefined ? null : `data:image/png;base64,${png}`,
  });

const cardLines = (name: string, pose: PoseReport, why: string): HTMLElement[] => [
  element('span', { class: 'pose-name' }, name),
  element('span', {}, why),
  ...shortFigures(pose).map((figure) => element('span', {}, figure)),
];

const shortFigures = ({ hours, height_mm, overhang_mm2, peak_pull_n }: PoseReport): string[] => [
  `${hours.toFixed(1)} h, ${height_mm.toFixed(0)} mm high`,
  `${overhang_mm2} mm² hang over`,
  `pull ${peak_pull_n.toFixed(0)} N`,
];

function spoken(pose: PoseReport & { readonly why: string }, number: number): string {
  const { turn, height_mm, hours, overhang_mm2, show_overhang_mm2, islands, cups, peak_pull_n } = pose;
  const shown = show_overhang_mm2 > 0 ? `, ${show_overhang_mm2} of them on the show side` : '';
  return `Pose ${number}, ${pose.why}: turn ${turn.join(', ')}; ${height_mm.toFixed(0)} mm high, ${hours.toFixed(1)} hours; ${overhang_mm2} square millimetres hang over${shown}; ${plural(islands, 'start')} in mid-air; ${plural(cups, 'hollow')} that want a vent; pull ${peak_pull_n.toFixed(0)} newtons.`;
}
