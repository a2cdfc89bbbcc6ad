import type { TypedLength } from '../../src/protocol/viewMessages.ts';
import { element } from '../shared/element.ts';
import type { HeldKind } from './held.ts';

/** What a click on the surface makes. */
export type EditTool = Exclude<HeldKind, 'passage'> | 'show' | 'length';

/** The sentence under the picture while openings are edited; its two words in boxes are what a click makes. */
export interface EditLine {
  readonly root: HTMLElement;
  set(tool: EditTool, diameter: number): void;
  /** Puts the cursor where the known length is typed. */
  askLength(): void;
}

const tools: readonly (readonly [tool: EditTool, words: string])[] = [
  ['vent', 'a vent'],
  ['drain', 'a drain'],
  ['tube', 'a tube'],
  ['support', 'a support'],
  ['show', 'the show side'],
  ['length', 'an end of a length'],
];

export function createEditLine(events: {
  onTool(tool: EditTool): void;
  onDiameter(diameter: number): void;
  onLength(length: TypedLength): void;
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
  const mm = element('input', { type: 'number', min: 0, step: 'any', 'aria-label': 'The length in mm' });
  const where = element(
    'select',
    { 'aria-label': 'Where it is so long' },
    element('option', { value: 'subject' }, 'on the subject'),
    element('option', { value: 'print' }, 'in print'),
  );
  mm.addEventListener('keydown', (event) => {
    if (event.key === 'Enter' && mm.valueAsNumber > 0)
      events.onLength({ mm: mm.valueAsNumber, where: where.value as TypedLength['where'] });
  });
  const long = element('span', {}, ', ', mm, ' mm ', where);
  const how = element('span');
  const root = element(
    'p',
    { class: 'edit-line', hidden: true },
    'A click marks ',
    tool,
    wide,
    long,
    '. ',
    how,
  );
  return {
    root,
    askLength: () => mm.focus(),
    set(next, size) {
      tool.value = next;
      diameter.value = String(Math.round(100 * size) / 100);
      wide.hidden = next === 'show' || next === 'length';
      long.hidden = next !== 'length';
      how.textContent = howTo(next);
    },
  };
}

/** What the hand and the keys do with a tool. */
export function howTo(tool: EditTool): string {
  if (tool === 'show') return howToOutline;
  if (tool === 'length') return howToMeasure;
  return tool === 'support' ? howToHold : howToPlace;
}

const howToMeasure =
  'Click two places, type how far apart they are, and press Enter: the factor of the whole kit follows. Keys: arrows move, Space sets an end, Backspace takes it back, Escape leaves.';

const howToPlace =
  'Drag a mouth to move it, its rim to resize it. Keys: arrows move, [ and ] resize, Tab takes the next opening, Enter writes, Delete removes, Escape leaves.';

const howToHold =
  'Drag a tip to move its support. Keys: arrows move, [ and ] resize the tip, Tab takes the next support, Enter writes, Delete removes it, Escape leaves. What was planned and is removed leaves a place that is kept free.';

const howToOutline =
  'Click round it, and on the first point to close. Keys: arrows move, Space sets a point, Backspace takes it back, Enter closes, Escape leaves.';
