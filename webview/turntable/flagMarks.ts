import type { Vec3 } from '../../src/core/vector.ts';
import type { Flag, PartView } from '../../src/protocol/partView.ts';
import { element, svgElement } from '../shared/element.ts';
import { isCutAway } from './cut.ts';
import { flagOrder, flagText, raisePoles } from './flagOrder.ts';
import type { Stage } from './stage.ts';

const discSize = 26;

/** Numbered flags over the picture. For the pointer only: the list below it serves keyboard and reader. */
export interface FlagMarks {
  setView(view: PartView | null): void;
  setShown(shown: boolean): void;
  select(number: number | null): void;
  /** After each drawing. */
  place(stage: Stage): void;
}

export function createFlagMarks(host: HTMLElement, onClick: (flag: Flag) => void): FlagMarks {
  const poles = svgElement('svg', { class: 'poles', 'aria-hidden': 'true' });
  const discs = element('div', { class: 'discs', 'aria-hidden': 'true' });
  host.append(poles, discs);
  let marks: Mark[] = [];
  let selected: number | null = null;

  return {
    setView(view) {
      poles.replaceChildren();
      discs.replaceChildren();
      marks = view === null ? [] : flagOrder(view.flags).flatMap((flag) => makeMark(view, flag, onClick));
      for (const { pole, disc } of marks) {
        poles.append(pole);
        discs.append(disc);
      }
      markSelected();
    },
    setShown(shown) {
      poles.toggleAttribute('hidden', !shown);
      discs.toggleAttribute('hidden', !shown);
    },
    select(number) {
      selected = number;
      markSelected();
    },
    place(stage) {
      const plane = stage.plane();
      const seen = marks.map((mark) => stage.project(mark.point));
      const inSight = marks.filter((_, i) => seen[i] !== null);
      const raised = raisePoles(
        seen.filter((point) => point !== null),
        discSize,
      );
      marks.forEach((mark, i) => {
        mark.show(seen[i] !== null, isCutAway(plane, mark.point));
      });
      inSight.forEach((mark, i) => {
        mark.move(raised[i]!);
      });
    },
  };

  function markSelected(): void {
    for (const { flag, disc } of marks) disc.classList.toggle('selected', flag.number === selected);
  }
}

/** Where a flag stands in the part; null when the finding is about the whole of it. */
export function flagPoint(view: PartView, flag: Flag): Vec3 | null {
  return flag.at ?? view.openings.find((opening) => opening.id === flag.opening)?.mouth ?? null;
}

interface Mark {
  readonly flag: Flag;
  readonly point: Vec3;
  readonly pole: SVGLineElement;
  readonly disc: HTMLButtonElement;
  show(inSight: boolean, cutAway: boolean): void;
  move(pole: { readonly x: number; readonly y: number; readonly height: number }): void;
}

function makeMark(view: PartView, flag: Flag, onClick: (flag: Flag) => void): Mark[] {
  const point = flagPoint(view, flag);
  if (point === null) return [];
  const pole = svgElement('line', { class: `pole ${flag.severity}` });
  const disc = element(
    'button',
    { class: 'disc', type: 'button', tabindex: -1, title: flagText(flag) },
    flagIcon(flag),
  );
  disc.addEventListener('click', () => onClick(flag));
  return [
    {
      flag,
      point,
      pole,
      disc,
      show(inSight, cutAway) {
        for (const part of [pole, disc]) {
          part.toggleAttribute('hidden', !inSight);
          part.classList.toggle('away', cutAway);
        }
      },
      move({ x, y, height }) {
        disc.style.transform = `translate(${x - discSize / 2}px, ${y - height - discSize / 2}px)`;
        pole.setAttribute('x1', String(x));
        pole.setAttribute('y1', String(y));
        pole.setAttribute('x2', String(x));
        pole.setAttribute('y2', String(y - height + discSize / 2 - 1));
      },
    },
  ];
}

/** A disc whose shape tells the severity as well as its colour: eight corners, three, or round. */
export function flagIcon(flag: Flag): SVGElement {
  const shape =
    flag.severity === 'error'
      ? svgElement('polygon', { points: '8.5,2 17.5,2 24,8.5 24,17.5 17.5,24 8.5,24 2,17.5 2,8.5' })
      : flag.severity === 'warning'
        ? svgElement('polygon', { points: '13,1 25,24 1,24' })
        : svgElement('circle', { cx: 13, cy: 13, r: 11 });
  const text = svgElement('text', { x: 13, y: flag.severity === 'warning' ? 21.5 : 17 }, String(flag.number));
  return svgElement(
    'svg',
    {
      class: `flag ${flag.severity}`,
      viewBox: '0 0 26 26',
      width: discSize,
      height: discSize,
      'aria-hidden': 'true',
    },
    shape,
    text,
  );
}
