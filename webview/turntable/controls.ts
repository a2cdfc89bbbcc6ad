import { element } from '../shared/element.ts';
import type { Cut } from './cut.ts';
import type { Direction } from './orbit.ts';
import type { Show } from './partModel.ts';

/** The one line of controls under the picture. */
export interface Controls {
  readonly root: HTMLElement;
  /** `there`: which of them the part has. */
  setShow(show: Show, there: { readonly hollow: boolean; readonly supports: boolean }): void;
  /** `range` is what a plane can move through, mm; null for a cut that needs none. */
  setCut(cut: Cut, range: readonly [low: number, high: number] | null): void;
  setEditable(editable: boolean): void;
  setEditing(editing: boolean): void;
}

export interface ControlEvents {
  onShow(change: Partial<Show>): void;
  onCutKind(by: Cut['by']): void;
  onPlaneOffset(offset: number): void;
  onLook(direction: Direction): void;
  onEdit(): void;
  onMakeReady(): void;
}

const toggles: readonly (readonly [key: keyof Show, label: string])[] = [
  ['outside', 'Outside'],
  ['seeThrough', 'See through'],
  ['hollow', 'Hollow'],
  ['supports', 'Supports'],
  ['flags', 'Flags'],
];

const cutKinds: readonly (readonly [by: Cut['by'], label: string])[] = [
  ['none', 'No cut'],
  ['layer', 'Cut by layer'],
  ['x', 'Cut from the side'],
  ['y', 'Cut from the front'],
  ['facing', 'Cut facing me'],
];

const directions: readonly (readonly [direction: Direction, label: string])[] = [
  ['corner', 'Whole part'],
  ['front', 'Front'],
  ['above', 'Above'],
  ['below', 'Below'],
];

export function createControls(events: ControlEvents): Controls {
  const showButtons = new Map(
    toggles.map(([key, label]) => {
      const button = plainButton(label, () => {
        events.onShow({ [key]: button.getAttribute('aria-pressed') !== 'true' });
      });
      return [key, button] as const;
    }),
  );
  const kind = element(
    'select',
    { 'aria-label': 'Cut' },
    ...cutKinds.map(([by, label]) => element('option', { value: by }, label)),
  );
  kind.addEventListener('change', () => events.onCutKind(kind.value as Cut['by']));
  const offset = element('input', {
    type: 'range',
    step: 0.05,
    'aria-label': 'Where the plane cuts',
    hidden: true,
  });
  offset.addEventListener('input', () => events.onPlaneOffset(offset.valueAsNumber));
  const edit = plainButton('Edit by hand', () => events.onEdit());
  const makeReady = plainButton('Make ready', () => events.onMakeReady());
  const root = element(
    'div',
    { class: 'controls' },
    group('Show', ...showButtons.values()),
    group('Cut', kind, offset),
    group(
      'Look',
      ...directions.map(([direction, label]) => plainButton(label, () => events.onLook(direction))),
    ),
    edit,
    makeReady,
  );

  return {
    root,
    setShow(show, there) {
      for (const [key, button] of showButtons) button.setAttribute('aria-pressed', String(show[key]));
      showButtons.get('hollow')!.disabled = !there.hollow;
      showButtons.get('supports')!.hidden = !there.supports;
      showButtons.get('seeThrough')!.disabled = !show.outside;
    },
    setCut(cut, range) {
      kind.value = cut.by;
      offset.hidden = range === null;
      if (range === null || cut.by === 'none' || cut.by === 'layer') return;
      offset.min = String(range[0]);
      offset.max = String(range[1]);
      offset.value = String(cut.offset);
      offset.setAttribute('aria-valuetext', `${cut.offset.toFixed(1)} mm`);
    },
    setEditable(editable) {
      makeReady.hidden = !editable;
      edit.hidden = !editable;
    },
    setEditing(editing) {
      edit.setAttribute('aria-pressed', String(editing));
    },
  };
}

export function plainButton(label: string, onClick: () => void): HTMLButtonElement {
  const button = element('button', { type: 'button', class: 'plain' }, label);
  button.addEventListener('click', onClick);
  return button;
}

function group(label: string, ...children: readonly Node[]): HTMLElement {
  return element('div', { role: 'group', 'aria-label': label, class: 'group' }, ...children);
}
