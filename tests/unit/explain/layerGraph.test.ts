import { describe, expect, it } from 'vitest';
import { graphUri } from '../../../src/core/explain/graphUri.ts';
import { type LayerGraph, layerGraph } from '../../../src/core/explain/layerGraph.ts';

const graph = (change: Partial<LayerGraph> = {}): string =>
  layerGraph({
    title: 'Pull',
    description: 'Pull by layer.',
    unit: 'N',
    values: Float64Array.from({ length: 4000 }, (_, n) => 50 + 40 * Math.sin(n / 300)),
    layerHeight: 0.05,
    ...change,
  });

/** What is wrong with a text as XML, as far as tags, attributes and entities go; null when nothing is. */
function xmlFault(text: string): string | null {
  const open: string[] = [];
  let rest = text;
  while (rest !== '') {
    const tag = /^<(\/?)([a-z]+)((?:\s+[a-zA-Z][a-zA-Z0-9-]*="[^"<&]*")*)\s*(\/?)>/.exec(rest);
    if (tag === null) {
      const words = /^(?:[^<&]|&#\d+;)+/.exec(rest);
      if (words === null || open.length === 0) return rest.slice(0, 40);
      rest = rest.slice(words[0].length);
      continue;
    }
    const [whole, closing, name, , empty] = tag;
    if (closing === '/' && open.pop() !== name) return `</${name}>`;
    if (closing === '' && empty === '') open.push(name!);
    rest = rest.slice(whole.length);
    if (open.length === 0 && rest !== '') return `after the end: ${rest.slice(0, 40)}`;
  }
  return open.length === 0 ? null : `<${open.at(-1)}> is open`;
}

const pointsOf = (svg: string): [number, number][] =>
  svg
    .match(/<polyline points="([^"]*)"/)![1]!
    .split(' ')
    .map((pair) => pair.split(',').map(Number) as [number, number]);

/** WCAG 2.2, relative luminance and contrast ratio. */
function contrast(a: string, b: string): number {
  const luminance = (hex: string) => {
    const [r, g, b2] = [1, 3, 5].map((at) => {
      const value = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
      return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b2!;
  };
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high! + 0.05) / (low! + 0.05);
}

describe('layerGraph', () => {
  it.each<[string, Partial<LayerGraph>]>([
    ['a usual part', {}],
    ['a limit', { limit: 100 }],
    ['no layers', { values: new Float64Array(0) }],
    ['nothing but zeros', { values: new Float64Array(20) }],
    ['one layer', { values: Float64Array.of(3) }],
    ['tiny figures', { values: Float64Array.of(1e-9, 2e-9) }],
    ['huge figures', { values: Float64Array.of(1e12, 2) }],
    ['hostile words', { title: '</title><script>alert(1)</script>"\u0000', description: `<&>"'\u0007` }],
  ])('of %s is well-formed and finite', (_, change) => {
    const svg = graph(change);
    expect(xmlFault(svg)).toBeNull();
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    expect(svg).not.toContain('<script');
  });

  it('would notice a fault', () => {
    for (const text of ['<a><b></a></b>', '<a x=1/>', '<a>&b</a>', '<a>', '<a/><b/>', '<a x="<"/>']) {
      expect(xmlFault(text), text).not.toBeNull();
    }
  });

  it('keeps every peak however many layers share a column', () => {
    const values = new Float64Array(30_000);
    values[12_345] = 80;
    const points = pointsOf(graph({ values }));
    expect(points.length).toBe(600);
    const highest = points.reduce((best, point) => (point[1] < best[1] ? point : best));
    // The peak stands where its layer is, and at 80 of 84 (5 % of head room) of the plot's 126 px.
    expect((highest[0] - 66) / 640).toBeCloseTo(12_345.5 / 30_000, 2);
    expect(highest[1]).toBeCloseTo(30 + 126 * (1 - 1 / 1.05), 1);
  });

  it('draws the limit to scale', () => {
    const svg = graph({ values: Float64Array.of(50, 50), limit: 100 });
    const y = Number(svg.match(/y1="([\d.]+)"[^>]*stroke-dasharray/)![1]);
    const [, curve] = pointsOf(svg)[0]!;
    const base = 30 + 126;
    expect((base - curve) / (base - y)).toBeCloseTo(0.5, 2);
    expect(svg).toContain('limit 100');
  });

  it('can be read on its own card: text 4.5 to 1, lines 3 to 1', () => {
    const svg = graph({ limit: 100 });
    const card = svg.match(/<rect width="100%" height="100%" fill="(#\w+)"/)![1]!;
    const texts = [...svg.matchAll(/<text[^>]*fill="(#\w+)"/g)].map(([, colour]) => colour!);
    const lines = [...svg.matchAll(/stroke="(#\w+)"/g)].map(([, colour]) => colour!);
    expect(texts.length).toBe([...svg.matchAll(/<text /g)].length);
    for (const colour of texts) expect(contrast(colour, card)).toBeGreaterThanOrEqual(4.5);
    for (const colour of lines) expect(contrast(colour, card)).toBeGreaterThanOrEqual(3);
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  });

  it('is an address without a sign that would end a Markdown link', () => {
    const uri = graphUri(graph({ title: "It's (50 %) *" }));
    expect(uri).toMatch(/^data:image\/svg\+xml;charset=utf-8,[A-Za-z0-9%._~-]+$/);
    expect(decodeURIComponent(uri.split(',')[1]!)).toBe(graph({ title: "It's (50 %) *" }));
  });
});
