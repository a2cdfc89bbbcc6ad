import { element } from '../shared/element.ts';
import { plainButton } from '../turntable/controls.ts';
import type { Direction } from '../turntable/orbit.ts';
import type { ColourBy } from './colouring.ts';

export interface KitControls {
  readonly root: HTMLElement;
  setBy(by: ColourBy): void;
  setNames(on: boolean): void;
  /** Both in mm. */
  setApart(apart: number, most: number): void;
}

export interface KitControlEvents {
  onBy(by: ColourBy): void;
  onNames(on: boolean): void;
  onApart(mm: number): void;
  onLook(direction: Direction): void;
}

const directions: readonly (readonly [direction: Direction, label: string])[] = [
  ['corner', 'Whole figure'],
  ['front', 'Front'],
  ['above', 'Above'],
  ['below', 'Below'],
];

export function createKitControls(events: KitControlEvents): KitControls {
  const byState = plainButton('State', () => events.onBy('state'));
  const byResin = plainButton('Resin', () => events.onBy('resin'));
  const names = plainButton('Names', () => events.onNames(names.getAttribute('aria-pressed') !== 'true'));
  const slider = element('input', { type: 'range', min: 0, step: 1, 'aria-label': 'Pull apart' });
  const told = element('span', { class: 'told' });
  slider.addEventListener('input', () => events.onApart(slider.valueAsNumber));
  const root = element(
    'div',
    { class: 'controls' },
    group('Colour by', element('span', {}, 'Colour by'), byState, byResin),
    group('Pull apart', element('span', {}, 'Pull apart'), slider, told),
    group('Look', ...directions.map(([way, label]) => plainButton(label, () => events.onLook(way)))),
    names,
  );
  return {
    root,
    setBy(by) {
      byState.setAttribute('aria-pressed', String(by === 'state'));
      byResin.setAttribute('aria-pressed', String(by === 'resin'));
    },
    setNames: (on) => names.setAttribute('aria-pressed', String(on)),
    setApart(apart, most) {
      slider.max = String(most);
      slider.value = String(apart);
      told.textContent = `${Math.round(apart)} mm`;
      slider.setAttribute('aria-valuetext', `the outermost part by ${Math.round(apart)} mm`);
    },
  };
}

function group(label: string, ...children: readonly Node[]): HTMLElement {
  return element('div', { role: 'group', 'aria-label': label, class: 'group' }, ...children);
}
