import type { Strata } from '../../src/protocol/partView.ts';
import { element, svgElement } from '../shared/element.ts';
import type { Theme } from '../shared/theme.ts';
import { usableSize } from '../shared/usableSize.ts';
import { dashes, drawStrata, type StrataPlot, strataPlot } from './drawStrata.ts';
import { clampLayer, layerForKey, pixelToLayer } from './layerAxis.ts';
import { layerValueText } from './strataTexts.ts';

/** Layers a page key moves: one millimetre. */
const pageMm = 1;

/** The graph of the part by layer, and the handle that moves the cut. */
export interface StrataGraph {
  readonly root: HTMLElement;
  setStrata(strata: Strata | null): void;
  /** Null where there is no cut by layer. */
  setCut(layer: number | null): void;
  setTheme(theme: Theme): void;
  dispose(): void;
}

export function createStrata(onCut: (layer: number | null) => void): StrataGraph {
  const canvas = element('canvas', { 'aria-hidden': 'true' });
  const graph = element(
    'div',
    {
      class: 'graph',
      role: 'slider',
      tabindex: 0,
      'aria-label': 'Cut by layer',
      'aria-orientation': 'horizontal',
      'aria-valuemin': 0,
    },
    canvas,
  );
  const root = element('section', { class: 'strata', 'aria-label': 'Strata' }, legend(), graph);
  const pen = canvas.getContext('2d')!;
  let strata: Strata | null = null;
  let plot: StrataPlot | null = null;
  let theme: Theme | null = null;
  let cut: number | null = null;
  let asked = false;

  function invalidate(): void {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      draw();
    });
  }

  function draw(): void {
    if (plot === null || theme === null) return;
    const ratio = window.devicePixelRatio;
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.clearRect(0, 0, canvas.width, canvas.height);
    drawStrata(pen, plot, theme, `11px ${getComputedStyle(graph).fontFamily}`, cut);
  }

  function measure(): void {
    const size = usableSize(graph.clientWidth, graph.clientHeight, document.hidden);
    if (size === null || strata === null) return;
    const ratio = window.devicePixelRatio;
    canvas.width = Math.round(size.width * ratio);
    canvas.height = Math.round(size.height * ratio);
    plot = strataPlot(strata, size.width, size.height);
    draw();
  }

  function tellValue(): void {
    if (strata === null) return;
    const top = Math.max(0, strata.layers - 1);
    graph.setAttribute('aria-valuemax', String(top));
    graph.setAttribute('aria-valuenow', String(cut ?? top));
    graph.setAttribute('aria-valuetext', cut === null ? 'no cut by layer' : layerValueText(strata, cut));
  }

  function cutAtPointer(event: PointerEvent): void {
    if (plot === null) return;
    const layer = pixelToLayer(plot.axis, event.clientX - canvas.getBoundingClientRect().left);
    if (layer !== cut) onCut(layer);
  }

  graph.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    graph.setPointerCapture(event.pointerId);
    cutAtPointer(event);
  });
  graph.addEventListener('pointermove', (event) => {
    if (graph.hasPointerCapture(event.pointerId)) cutAtPointer(event);
  });
  graph.addEventListener('keydown', (event) => {
    if (strata === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const perPage = Math.max(1, Math.round(pageMm / strata.layerHeight));
    const from = cut ?? strata.layers - 1;
    const next = layerForKey(event.key, event.shiftKey, from, strata.layers, perPage);
    if (next === null && event.key !== 'Escape') return;
    event.preventDefault();
    onCut(next);
  });
  const observer = new ResizeObserver(measure);
  observer.observe(graph);
  document.addEventListener('visibilitychange', measure);

  return {
    root,
    setStrata(next) {
      strata = next;
      plot = null;
      if (next !== null && cut !== null) cut = clampLayer(cut, next.layers);
      measure();
      tellValue();
    },
    setCut(layer) {
      cut = layer;
      tellValue();
      invalidate();
    },
    setTheme(next) {
      theme = next;
      invalidate();
    },
    dispose() {
      observer.disconnect();
      document.removeEventListener('visibilitychange', measure);
    },
  };
}

function legend(): HTMLElement {
  return element(
    'p',
    { class: 'legend', 'aria-hidden': 'true' },
    lineSample('Area', 'area', dashes.area),
    lineSample('Cup area', 'cup', dashes.cup),
    lineSample('Pull', 'pull', dashes.pull),
    sample(
      'Cup sealed',
      svgElement('path', { class: 'cup', d: 'M2,11 10,3 M8,11 16,3 M14,11 22,3 M1,2H23V12H1Z' }),
    ),
    sample('joined', svgElement('path', { class: 'cup', d: 'M3,2V11 M8,2V11 M13,2V11 M18,2V11 M1,11.5H23' })),
    sample(
      'breathes',
      svgElement('circle', { class: 'cup full', cx: 4, cy: 7, r: 3 }),
      svgElement('path', { class: 'cup', d: 'M4,7H23' }),
    ),
    sample('Island', svgElement('path', { class: 'area full', d: 'M12,2 18,12 6,12Z' })),
    sample('Island inside', svgElement('path', { class: 'area', d: 'M12,2 18,12 6,12Z' })),
  );
}

function lineSample(text: string, kind: string, dash: readonly number[]): HTMLElement {
  const path = svgElement('path', { class: kind, d: 'M0,7H24', 'stroke-dasharray': dash.join(' ') || null });
  return sample(text, path);
}

function sample(text: string, ...marks: readonly SVGElement[]): HTMLElement {
  return element(
    'span',
    {},
    svgElement('svg', { viewBox: '0 0 24 14', width: 24, height: 14 }, ...marks),
    text,
  );
}
