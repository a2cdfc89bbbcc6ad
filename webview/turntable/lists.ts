import { capital, openingName } from '../../src/core/kit/rules/figures.ts';
import type { Flag, OpeningView, PartView } from '../../src/protocol/partView.ts';
import { element } from '../shared/element.ts';
import { figureText } from '../shared/figureText.ts';
import { flagIcon } from './flagMarks.ts';
import { flagOrder, flagText } from './flagOrder.ts';

/** The findings as buttons, in the order of Problems. */
export function flagList(flags: readonly Flag[], onPick: (flag: Flag) => void): HTMLElement {
  if (flags.length === 0) return element('p', {}, 'No findings for this part.');
  const items = flagOrder(flags).map((flag) => {
    const button = element(
      'button',
      { type: 'button', class: 'row', 'data-flag': flag.number, 'aria-label': flagText(flag) },
      flagIcon(flag),
      element('span', {}, flagText(flag).replace(/^\S+ \d+: /, '')),
    );
    button.addEventListener('click', () => onPick(flag));
    return element('li', {}, button);
  });
  return element('ol', { class: 'rows' }, ...items);
}

export function markSelectedRow(list: HTMLElement, number: number | null): void {
  for (const row of list.querySelectorAll('[data-flag]')) {
    const selected = row.getAttribute('data-flag') === String(number);
    row.classList.toggle('selected', selected);
    if (selected) row.setAttribute('aria-current', 'true');
    else row.removeAttribute('aria-current');
  }
}

/** Null: they stand in no manifest that could be shown. */
export function openingList(
  openings: readonly OpeningView[],
  onPick: ((opening: OpeningView) => void) | null,
): HTMLElement {
  if (openings.length === 0) return element('p', {}, 'No openings yet.');
  const items = openings.map((opening) => {
    if (onPick === null) return element('li', {}, openingText(opening));
    const button = element('button', { type: 'button', class: 'row' }, openingText(opening));
    button.addEventListener('click', () => onPick(opening));
    return element('li', {}, button);
  });
  return element('ol', { class: 'rows' }, ...items);
}

/** What differs, as the ledgers tell it. */
export function changeList(changes: readonly string[]): HTMLElement {
  const items = changes.map((change) => element('li', {}, change));
  return element('ul', { 'aria-label': 'Changes in the ledger', tabindex: 0 }, ...items);
}

export function openingText({ id, radius, depth, boreMm }: OpeningView): string {
  const size = figureText(2 * radius, 'mm');
  return `${capital(openingName(id))}: ${size} wide, ${figureText(depth, 'mm')} deep, ${figureText(boreMm, 'mm')} through solid`;
}

export function figureList(figures: PartView['figures']): HTMLElement {
  const rows = figures.map(({ label, value }) =>
    element('div', {}, element('dt', {}, label), element('dd', {}, value)),
  );
  return element('dl', { class: 'figures' }, ...rows);
}

export function figureLines({ part, figures }: PartView): string {
  return [part, ...figures.map(({ label, value }) => `${label}: ${value}`)].join('\n');
}
