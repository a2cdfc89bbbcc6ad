import type { Strata } from '../../src/protocol/partView.ts';
import { element } from '../shared/element.ts';
import { layerHeightText, strataEvents } from './strataTexts.ts';

const rowsPerPiece = 400;

/**
 * The strata in words and figures: what happens, and every layer. The long table is built when it is
 * first opened, piece by piece, so a part of thousands of layers does not hold up the page.
 */
export function strataTables(strata: Strata, layersOpen: boolean): HTMLElement {
  const layers = element('details', {}, element('summary', {}, 'Every layer as a table'));
  layers.addEventListener('toggle', () => {
    if (layers.open && layers.querySelector('table') === null) layers.append(layerTable(strata));
  });
  layers.open = layersOpen;
  const events = element(
    'details',
    { open: true, class: 'events' },
    element('summary', {}, 'What happens, from the plate up'),
    eventTable(strata),
  );
  return element('div', { class: 'tables' }, events, layers);
}

function eventTable(strata: Strata): HTMLTableElement {
  const body = element('tbody');
  for (const { layer, text } of strataEvents(strata)) {
    body.append(row([String(layer), layerHeightText(strata, layer, 2), text]));
  }
  return table('What happens, from the plate up', ['Layer', 'Height', 'What happens'], body);
}

function layerTable(strata: Strata): HTMLTableElement {
  const body = element('tbody');
  const made = table('Every layer', ['Layer', 'Height', 'Area, mm²', 'Cup area, mm²', 'Pull, N'], body);
  addPiece(body, strata, 0);
  return made;
}

function addPiece(body: HTMLElement, strata: Strata, first: number): void {
  const end = Math.min(strata.layers, first + rowsPerPiece);
  for (let layer = first; layer < end; layer++) {
    body.append(
      row([
        String(layer),
        layerHeightText(strata, layer, 2),
        strata.areaMm2[layer]!.toFixed(1),
        strata.cupAreaMm2[layer]!.toFixed(1),
        strata.pullN[layer]!.toFixed(1),
      ]),
    );
  }
  if (end < strata.layers) {
    setTimeout(() => {
      if (body.isConnected) addPiece(body, strata, end);
    });
  }
}

function table(caption: string, heads: readonly string[], body: HTMLElement): HTMLTableElement {
  const head = element('tr', {}, ...heads.map((text) => element('th', { scope: 'col' }, text)));
  return element('table', {}, element('caption', {}, caption), element('thead', {}, head), body);
}

function row([first, ...rest]: readonly string[]): HTMLTableRowElement {
  return element(
    'tr',
    {},
    element('th', { scope: 'row' }, first!),
    ...rest.map((text) => element('td', {}, text)),
  );
}
