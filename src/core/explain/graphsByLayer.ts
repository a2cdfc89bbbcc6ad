import { roundTo } from '../kit/rounding.ts';
import { figure } from '../kit/rules/figures.ts';
import type { PartLoads } from '../physics/partLoads.ts';
import { graphUri } from './graphUri.ts';
import { layerGraph } from './layerGraph.ts';
import { markdownTable } from './markdownTable.ts';

/** About so many heights stand in the table, the peaks besides. */
const tableRows = 12;

/** Area, cup area and pull of every layer as pictures, each with its peak in words, and as one table. */
export function graphsByLayer(loads: PartLoads, layerHeight: number, pullLimitN: number): string {
  const curves = [
    { title: 'Solid area', unit: 'mm²', values: loads.areaMm2 },
    { title: 'Cup area', unit: 'mm²', values: loads.cupAreaMm2 },
    { title: 'Pull', unit: 'N', values: loads.pullN, limit: pullLimitN },
  ];
  const peaks = curves.map(({ values }) => peakLayer(values));
  const pictures = curves.map(({ title, unit, values, ...more }, n) => {
    const peak = peaks[n]!;
    const limit = 'limit' in more ? ` The limit is ${figure(pullLimitN, unit)}.` : '';
    const description = `${title} by layer, from the plate: at most ${figure(values[peak] ?? 0, unit)}, in layer ${peak}, ${figure(peak * layerHeight, 'mm')} above the plate.${limit}`;
    const svg = layerGraph({ title, description, unit, values, layerHeight, ...more });
    return `![${description}](${graphUri(svg)})\n\n${description}`;
  });
  const rows = tableLayers(loads.areaMm2.length, peaks).map((layer) => [
    String(layer),
    String(roundTo(layer * layerHeight, 3)),
    ...curves.map(({ values }) => String(roundTo(values[layer]!, 1))),
  ]);
  const heads = ['Layer', 'mm above the plate', 'Solid area, mm²', 'Cup area, mm²', 'Pull, N'];
  return [...pictures, 'The same as a table, some layers of it:', markdownTable(heads, rows)].join('\n\n');
}

function peakLayer(values: Float64Array): number {
  return values.reduce((best, value, layer) => (value > values[best]! ? layer : best), 0);
}

function tableLayers(layers: number, peaks: readonly number[]): number[] {
  const even = Array.from({ length: Math.min(tableRows, layers) }, (_, n) =>
    Math.round((n * (layers - 1)) / Math.max(1, Math.min(tableRows, layers) - 1)),
  );
  const shown = layers === 0 ? [] : [...even, ...peaks];
  return [...new Set(shown)].sort((a, b) => a - b);
}
