import { describe, expect, it } from 'vitest';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { bodySpread } from '../../../src/core/scale/bodyMeasures.ts';

const scaleOf = (text: string) => parseManifest(`scale: ${text}\n`).manifest!.scale;
const codes = (text: string) => parseManifest(`scale: ${text}\n`).findings.map(({ code }) => code);

describe('scale in the manifest', () => {
  it.each([
    ['{ finished: "1:4", from: { source: 130, subject: 1768 } }', 3.4],
    ['{ finished: "1:4", from: { between: [[0, 0, 0], [0, 3, 4]], subject: 68 } }', 3.4],
    ['{ from: { source: 130, print: 442 } }', 3.4],
    ['{ finished: "1:4", from: [{ source: 130, subject: 1768 }, { source: 65, print: 221 }] }', 3.4],
    [
      '{ finished: "1:4", from: { source: 10, measure: head-height, sex: women } }',
      bodySpread('head-height', 'women').mean / 40,
    ],
  ])('%s gives its factor, and no finding', (text, factor) => {
    expect(codes(text)).toEqual([]);
    expect(scaleOf(text).factor).toBeCloseTo(factor, 9);
  });

  it.each([
    ['{ finished: "1:4", from: { source: 130 } }', ['value-out-of-range']],
    ['{ finished: "1:4", from: { subject: 130 } }', ['value-out-of-range']],
    [
      '{ finished: "1:4", from: { source: 1, between: [[0, 0, 0], [1, 0, 0]], subject: 1 } }',
      ['value-out-of-range'],
    ],
    ['{ finished: "1:4", from: { source: 1, subject: 1, measure: stature } }', ['value-out-of-range']],
    ['{ finished: "1:4", from: { source: 1, measure: nose } }', ['value-out-of-range']],
    ['{ finished: "1:4", from: { between: [[0, 0, 0], [0, 0, 0]], subject: 1 } }', ['value-out-of-range']],
    ['{ finished: "1:4", from: { between: [[0, 0, 0]], subject: 1 } }', ['value-out-of-range']],
    ['{ finished: "1:4", from: [{ source: 1, subject: 4 }, { source: 1 }] }', ['value-out-of-range']],
    ['{ finished: "1:4", from: [] }', []],
    ['{ from: { source: 1, measure: stature } }', ['scale-missing']],
    ['{ from: [{ source: 1, print: 3 }, { source: 1, subject: 3 }] }', ['scale-missing']],
  ])('%s gives no factor', (text, told) => {
    expect(codes(text)).toEqual(told);
    expect(scaleOf(text).factor).toBeNull();
  });

  it('notes the published mean, its spread and its source, and how well ends are taken to be known', () => {
    const text = 'scale: { finished: "1:4", from: [{ source: 14, measure: hand-length, sex: men }] }\n';
    const { assumptions } = parseManifest(text).manifest!;
    expect(assumptions).toContainEqual(
      expect.objectContaining({ key: 'scale.from[0].measure', value: '193.3 ± 9.9', unit: 'mm' }),
    );
    expect(assumptions.map(({ key }) => key)).toContain('scale.picking');
    const given = parseManifest('scale: { factor: 1 }\n').manifest!.assumptions;
    expect(given.map(({ key }) => key)).not.toContain('scale.picking');
  });

  it('tells the length that contradicts the others at its place, and not those that agree', () => {
    const text = (last: number) =>
      `scale: { finished: "1:4", from: [{ source: 130, subject: 1768 }, { source: 100, subject: 1360 }, { source: ${last}, subject: 1360 }] }\n`;
    const found = parseManifest(text(110)).findings;
    expect(found).toEqual([expect.objectContaining({ code: 'scale-disagrees', path: ['scale', 'from', 2] })]);
    expect(found[0]!.message).toContain('110 units for 1360 mm on the subject gives a factor of 3.09');
    expect(parseManifest(text(100.1)).findings).toEqual([]);
  });
});
