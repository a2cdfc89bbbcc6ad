import { type Colour, cssColour } from '../shared/colour.ts';
import { element, svgElement } from '../shared/element.ts';
import type { Theme } from '../shared/theme.ts';
import type { Look, Pattern } from './colouring.ts';

/** What the colours and patterns of the picture mean, with how many parts each has. */
export function legend(
  groups: readonly { readonly look: Look; readonly count: number }[],
  theme: Theme,
): HTMLElement[] {
  return groups.map(({ look, count }) =>
    element('span', {}, swatch(look, theme), `${look.label} (${count})`),
  );
}

const width = 22;
const height = 14;

/** A piece of the picture: the colour with its pattern. */
export function swatch(look: Look, theme: Theme): SVGElement {
  const colour = look.colour(theme);
  const frame = { x: 0.5, y: 0.5, width: width - 1, height: height - 1 };
  return svgElement(
    'svg',
    { width, height, viewBox: `0 0 ${width} ${height}`, 'aria-hidden': 'true', class: 'swatch' },
    svgElement('rect', { ...frame, fill: cssColour(colour) }),
    ...inked(look.pattern, theme.background),
    svgElement('rect', { ...frame, fill: 'none', stroke: cssColour(theme.foreground) }),
  );
}

const steps = (from: number, to: number, by: number): number[] =>
  Array.from({ length: Math.floor((to - from) / by) + 1 }, (_, n) => from + n * by);

function inked(pattern: Pattern, background: Colour): SVGElement[] {
  const stroke = cssColour(background);
  const line = (x1: number, y1: number, x2: number, y2: number): SVGElement =>
    svgElement('line', { x1, y1, x2, y2, stroke, 'stroke-width': 1.5 });
  // As on the figure's front, and within the frame, so that nothing has to be clipped.
  const slanted = (way: 1 | -1): SVGElement[] =>
    steps(4, width - 4, 7).map((x) => line(x - 3 * way, 2, x + 3 * way, height - 2));
  const dashed = (): SVGElement[] =>
    steps(4, width - 4, 7).flatMap((x) => [
      line(x + 3, 2, x + 1.2, 5),
      line(x - 1.2, height - 5, x - 3, height - 2),
    ]);
  switch (pattern) {
    case 'plain':
      return [];
    case 'slanted':
      return slanted(1);
    case 'crossed':
      return [...slanted(1), ...slanted(-1)];
    case 'dotted':
      return steps(4, width - 3, 5).flatMap((cx) =>
        [4.5, 9.5].map((cy) => svgElement('circle', { cx, cy, r: 1.4, fill: stroke })),
      );
    case 'level':
      return [4, 7, 10].map((y) => line(1, y, width - 1, y));
    case 'upright':
      return steps(4, width - 4, 3.5).map((x) => line(x, 1, x, height - 1));
    case 'dashed':
      return dashed();
  }
}
