import { element } from '../shared/element.ts';
import type { HeldKind } from './held.ts';

/** What a click on the surface makes. */
export type EditTool = HeldKind | 'show';

/** The sentence under the picture while openings are edited; its two words in boxes are what a click makes. */
export interface EditLine {
  readonly root: HTMLElement;
  set(tool: EditTool, diameter: number): void;
}

const tools: readonly (readonly [tool: EditTool, words: string])[] = [
  ['vent', 'a vent'],
  ['drain', 'a drain'],
  ['tube', 'a tube'],
  ['support', 'a support'],
  ['show', 'the show side'],
];

export function createEditLine(events: {
  onTool(tool: EditTool): void;
  onDiameter(diameter: number): void;
}): EditLine {
  const tool = element(
    'select',
    { 'aria-label': 'What a click on the surface marks' },
    ...tools.map(([value, words]) => element('option', { value }, words)),
  );
  tool.addEventListener('change', () => events.onTool(tool.value as EditTool));
  const diameter = element('input', {
    type: 'number',
    min: 0.1,
    max: 300,
    step: 0.1,
    'aria-label': 'Diameter in mm',
  });
  diameter.addEventListener('change', () => {
    if (Number.isFinite(diameter.valueAsNumber)) events.onDiameter(diameter.valueAsNumber);
  });
  const wide = element('span', {}, ' ', diameter, ' mm wide');
  const how = element('span');
  const root = element('p', { class: 'edit-line', hidden: true }, 'A click marks ', tool, wide, '. ', how);
  return {
    root,
    set(next, size) {
      tool.value = next;
      diameter.value = String(Math.round(100 * size) / 100);
      wide.hidden = next === 'show';
      how.textContent = next === 'show' ? howToOutline : next === 'support' ? howToHold : howToPlace;
    },
  };
}

export const howToPlace =
  'Drag a mouth to move it, its rim to resize it. Keys: arrows move, [ and ] resize, Tab takes the next opening, Enter writes, Delete removes, Escape leaves.';

export const howToHold =
  'Drag a tip to move its support. Keys: arrows move, [ and ] resize the tip, Tab takes the next support, Enter writes, Delete removes it, Escape leaves. What was planned and is removed leaves a place that is kept free.';

export const howToOutline =
  'Click round it, and on the first point to close. Keys: arrows move, Space sets a point, Backspace takes it back, Enter closes, Escape leaves.';
