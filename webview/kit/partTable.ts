import { figure, plural } from '../../src/core/kit/rules/figures.ts';
import type { KitPart, KitPicture } from '../../src/protocol/kitMessages.ts';
import { element } from '../shared/element.ts';
import type { Theme } from '../shared/theme.ts';
import type { Look } from './colouring.ts';
import { swatch } from './legend.ts';

export interface TableEvents {
  onGoTo(part: string): void;
  onTurntable(part: string): void;
  /** The row that the pointer is on, and the one that has the focus; null when none. */
  onPoint(part: string | null): void;
  onFocus(part: string | null): void;
}

const heads = ['Part', 'State', 'Resin', 'Copies', 'Size', 'Liquid', 'Weight', 'Print', 'Cost', 'Turntable'];

/** The whole kit in words: what the picture shows, and more. Figures are of one copy. */
export function partTable(
  { name, parts, totals }: KitPicture,
  looks: ReadonlyMap<string, Look>,
  theme: Theme,
  events: TableEvents,
): HTMLElement {
  const rows = parts.map((part) => row(part, looks.get(part.name)!, theme, events));
  const foot = element(
    'tr',
    {},
    element('th', { scope: 'row', colspan: 3 }, totalsHead(totals)),
    ...[
      String(totals.prints),
      '',
      figure(totals.liquidMl, 'ml'),
      figure(totals.massG, 'g'),
      figure(totals.hours, 'h'),
      costText(totals.cost),
      '',
    ].map((text) => element('td', {}, text)),
  );
  return element(
    'table',
    { class: 'parts' },
    element('caption', {}, `Parts of ${name}`),
    element('thead', {}, element('tr', {}, ...heads.map((text) => element('th', { scope: 'col' }, text)))),
    element('tbody', {}, ...rows),
    element('tfoot', {}, foot),
  );
}

/** One line: what the kit takes as far as it is measured. */
export function totalsText({ totals }: KitPicture): string {
  const { parts, measured, liquidMl, massG, hours, cost, costIsPart } = totals;
  const of = measured === parts ? plural(parts, 'part') : `${measured} of ${plural(parts, 'part')} measured`;
  const money =
    cost === null ? [] : [`cost ${costText(cost)}${costIsPart ? ' as far as prices are known' : ''}`];
  return [
    of,
    `${figure(liquidMl, 'ml')} of resin`,
    figure(massG, 'g'),
    `${figure(hours, 'h')} one after the other`,
    ...money,
  ].join(' · ');
}

function totalsHead({ parts, measured }: KitPicture['totals']): string {
  return measured === parts
    ? 'All copies together'
    : `All copies of the ${plural(measured, 'measured part')}`;
}

const costText = (cost: number | null): string => (cost === null ? '' : cost.toFixed(2));

function row(part: KitPart, look: Look, theme: Theme, events: TableEvents): HTMLElement {
  const { name, words, problem, resin, copies, figures } = part;
  const goTo = element('button', { type: 'button', class: 'link' }, name);
  goTo.addEventListener('click', () => events.onGoTo(name));
  const show = element(
    'button',
    { type: 'button', class: 'plain', 'aria-label': `Show ${name} on the turntable` },
    'Show',
  );
  show.addEventListener('click', () => events.onTurntable(name));
  const cells = [
    element(
      'td',
      { class: 'words' },
      swatch(look, theme),
      problem === null ? words : `${words}; not drawn: ${problem}`,
    ),
    element('td', { class: 'words' }, resin ?? ''),
    ...[
      String(copies),
      figures === null ? '' : `${figures.sizeMm.map((mm) => mm.toFixed(0)).join(' × ')} mm`,
      figures === null ? '' : figure(figures.liquidMl, 'ml'),
      figures === null ? '' : figure(figures.massG, 'g'),
      figures === null ? '' : figure(figures.hours, 'h'),
      costText(figures?.cost ?? null),
    ].map((text) => element('td', {}, text)),
    element('td', {}, show),
  ];
  const made = element('tr', { 'data-part': name }, element('th', { scope: 'row' }, goTo), ...cells);
  made.addEventListener('pointerenter', () => events.onPoint(name));
  made.addEventListener('pointerleave', () => events.onPoint(null));
  made.addEventListener('focusin', () => events.onFocus(name));
  made.addEventListener('focusout', () => events.onFocus(null));
  return made;
}
