import { dot, subtract, type Vec3 } from '../../src/core/vector.ts';
import { element, svgElement } from '../shared/element.ts';
import { mouthRing } from './mouthRing.ts';
import type { RestingMouth } from './restingRims.ts';
import type { Stage } from './stage.ts';

/** What the editing of openings draws over the picture: the rim and grip of the one held, a line being drawn, a label. */
export interface EditMarks {
  setMouth(inHand: RestingMouth | null): void;
  /** Corners of an outline that is being drawn. */
  setLine(corners: readonly Vec3[]): void;
  setLabel(lines: readonly string[], beside: Vec3 | null): void;
  /** After each drawing. */
  place(stage: Stage): void;
}

interface Pixel {
  readonly x: number;
  readonly y: number;
}

const rimPoints = 48;
const gripSize = 9;
const labelGap = 18;

export function createEditMarks(host: HTMLElement): EditMarks {
  const drawing = svgElement('svg', { class: 'edit-marks', 'aria-hidden': 'true' });
  const label = element('div', { class: 'trial', 'aria-hidden': 'true', hidden: true });
  host.append(drawing, label);
  let inHand: RestingMouth | null = null;
  let line: readonly Vec3[] = [];
  let beside: Vec3 | null = null;

  function drawMouth(stage: Stage): Element[] {
    if (inHand === null) return [];
    const { right, from } = stage.eye();
    const rim = mouthRing(inHand, inHand.radius, right, rimPoints).flatMap((one) => stage.project(one) ?? []);
    if (rim.length < rimPoints) return [];
    const points = rim.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
    return drawHeld(points, rim[0]!, dot(inHand.facing, subtract(from, inHand.at)) < 0);
  }

  function drawHeld(points: string, grip: Pixel, away: boolean): Element[] {
    const rim = svgElement('polygon', { class: away ? 'rim held away' : 'rim held', points });
    if (away) return [rim];
    const corner = { x: grip.x - gripSize / 2, y: grip.y - gripSize / 2 };
    return [rim, svgElement('rect', { class: 'grip', ...corner, width: gripSize, height: gripSize })];
  }

  function drawLine(stage: Stage): Element[] {
    const corners = line.flatMap((corner) => stage.project(corner) ?? []);
    if (corners.length === 0) return [];
    const points = corners.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
    const dots = corners.map(({ x, y }) => svgElement('circle', { class: 'corner', cx: x, cy: y, r: 4 }));
    return [svgElement('polyline', { class: 'outline', points }), ...dots];
  }

  /** Pixels that the mouth in hand takes beside its centre: the label must not lie on its grip. */
  function reachOf(stage: Stage, { x }: { readonly x: number }): number {
    if (inHand === null) return 0;
    const grip = stage.project(mouthRing(inHand, inHand.radius, stage.eye().right, 1)[0]!);
    return grip === null ? 0 : Math.abs(grip.x - x);
  }

  function placeLabel(stage: Stage): void {
    const point = beside === null ? null : stage.project(beside);
    label.hidden = point === null || label.childElementCount === 0;
    if (point === null || label.hidden) return;
    const { clientWidth, clientHeight } = host;
    const [width, height] = [label.offsetWidth, label.offsetHeight];
    const gap = labelGap + reachOf(stage, point);
    const right = point.x + gap + width <= clientWidth;
    const x = right ? point.x + gap : Math.max(0, point.x - gap - width);
    const y = Math.max(0, Math.min(clientHeight - height, point.y - height / 2));
    label.style.transform = `translate(${x.toFixed(0)}px, ${y.toFixed(0)}px)`;
  }

  return {
    setMouth(next) {
      inHand = next;
    },
    setLine(next) {
      line = next;
    },
    setLabel(lines, at) {
      beside = at;
      label.replaceChildren(...lines.map((text) => element('p', {}, text)));
    },
    place(stage) {
      drawing.replaceChildren(...drawMouth(stage), ...drawLine(stage));
      placeLabel(stage);
    },
  };
}
