import { describe, expect, test } from 'vitest';
import { columnRange, peakOf } from '../../webview/strata/columnRange.ts';
import {
  clampLayer,
  type LayerAxis,
  layerForKey,
  layerToPixel,
  pixelToLayer,
} from '../../webview/strata/layerAxis.ts';
import { niceStep, niceTop, strataScale } from '../../webview/strata/strataScale.ts';
import { cutText, layerValueText, strataEvents } from '../../webview/strata/strataTexts.ts';
import { random } from '../shapes.ts';
import { ballStrata } from './partViews.ts';

describe('columnRange', () => {
  test('loses no peak: brute force over every column, seeded curves of many lengths', () => {
    for (const [seed, layers, columns] of [
      [1, 4000, 700],
      [2, 4001, 699],
      [3, 701, 700],
      [4, 700, 700],
      [5, 12, 700],
      [6, 20000, 333],
    ] as const) {
      const next = random(seed);
      const values = Float32Array.from({ length: layers }, () => next() * 1000);
      const { low, high } = columnRange(values, columns);
      const where = `seed ${seed}, ${layers} layers, ${columns} columns`;
      expect(Math.max(...high), where).toBe(Math.max(...values));
      expect(Math.min(...low), where).toBe(Math.min(...values));
      values.forEach((value, layer) => {
        const column = Math.floor((layer * columns) / layers);
        expect(value <= high[column]! && value >= low[column]!, `${where}, layer ${layer}`).toBe(true);
      });
    }
  });

  test('keeps a peak of one layer among four thousand, wherever it is', () => {
    for (let layer = 0; layer < 4000; layer += 37) {
      const values = new Float32Array(4000);
      values[layer] = 917;
      const { high } = columnRange(values, 640);
      expect(Math.max(...high)).toBe(917);
      expect(high.filter((value) => value > 0).length).toBeLessThanOrEqual(2);
    }
  });

  test('passes over values that are not finite', () => {
    const { low, high } = columnRange(Float32Array.of(Number.NaN, 3, Number.POSITIVE_INFINITY, 5), 2);
    expect([...low, ...high]).toEqual([3, 5, 3, 5]);
    expect([...columnRange(Float32Array.of(Number.NaN), 1).high]).toEqual([0]);
    expect(columnRange(new Float32Array(0), 3).high.length).toBe(3);
  });

  test('peakOf', () => {
    expect(peakOf(Float32Array.of(1, 9, Number.NaN, 9, 2))).toEqual({ layer: 1, value: 9 });
    expect(peakOf(new Float32Array(0))).toEqual({ layer: -1, value: 0 });
  });
});

describe('layerAxis', () => {
  test('a layer’s pixel leads back to the layer', () => {
    for (const layers of [1, 2, 17, 700, 4000, 20000]) {
      const axis: LayerAxis = { left: 48, width: 700, layers };
      for (let layer = 0; layer < layers; layer++) {
        expect(pixelToLayer(axis, layerToPixel(axis, layer))).toBe(layer);
      }
    }
  });

  test('beyond the ends lies the last layer there', () => {
    const axis: LayerAxis = { left: 48, width: 700, layers: 4000 };
    expect(pixelToLayer(axis, -500)).toBe(0);
    expect(pixelToLayer(axis, 48)).toBe(0);
    expect(pixelToLayer(axis, 748)).toBe(3999);
    expect(pixelToLayer(axis, 5000)).toBe(3999);
  });

  test('keys', () => {
    const at = (key: string, shift = false, layer = 100): number | null =>
      layerForKey(key, shift, layer, 4000, 20);
    expect(['ArrowRight', 'ArrowUp', 'ArrowLeft', 'ArrowDown'].map((key) => at(key))).toEqual([
      101, 101, 99, 99,
    ]);
    expect([at('ArrowRight', true), at('ArrowDown', true)]).toEqual([110, 90]);
    expect([at('PageUp'), at('PageDown'), at('Home'), at('End')]).toEqual([120, 80, 0, 3999]);
    expect([at('PageDown', false, 3), at('ArrowUp', false, 3999)]).toEqual([0, 3999]);
    expect([at('a'), at('Tab'), at('Enter')]).toEqual([null, null, null]);
    expect(clampLayer(-1, 10)).toBe(0);
  });
});

describe('scales', () => {
  test('a top is round, at or above the value, and less than twice it', () => {
    for (let exponent = -3; exponent < 6; exponent += 0.013) {
      const value = 10 ** exponent;
      expect(niceTop(value)).toBeGreaterThanOrEqual(value * (1 - 1e-9));
      expect(niceTop(value)).toBeLessThan(1.4 * value);
      expect(niceStep(value, 1)).toBeLessThanOrEqual(2.5 * value * (1 + 1e-9));
    }
    expect([niceTop(0), niceTop(-1), niceTop(Number.NaN), niceTop(Number.POSITIVE_INFINITY)]).toEqual([
      1, 1, 1, 1,
    ]);
  });

  test('a far limit does not flatten the pull', () => {
    const strata = ballStrata();
    expect(strataScale(strata)).toMatchObject({ limitInSight: true });
    const far = strataScale({ ...strata, pullLimitN: 5000 });
    expect(far.limitInSight).toBe(false);
    expect(far.pullTop).toBeLessThan(500);
  });
});

describe('texts', () => {
  const strata = {
    ...ballStrata(),
    layers: 1000,
    areaMm2: new Float32Array(1000).fill(3120.4),
    cupAreaMm2: new Float32Array(1000),
    pullN: new Float32Array(1000).fill(31.2),
  };

  test('what the slider says', () => {
    expect(layerValueText(strata, 812)).toBe('layer 812, 40.6 mm, area 3120 mm², pull 31 N');
    const cup = { ...strata, cupAreaMm2: new Float32Array(1000).fill(250) };
    expect(layerValueText(cup, 0)).toBe('layer 0, 0 mm, area 3120 mm², cup 250 mm², pull 31 N');
    expect(cutText(strata, 812)).toBe('Cut at layer 812 (40.60 mm)');
  });

  test('all that the graph marks, from the plate up', () => {
    const events = strataEvents(ballStrata());
    const layers = events.map(({ layer }) => layer);
    expect(layers).toEqual([...layers].sort((a, b) => a - b));
    const texts = events.map(({ layer, text }) => `${layer} ${text}`);
    expect(texts).toContain('140 Cup 1 starts, suction up to 249 N, sealed for 460 layers.');
    expect(texts).toContain('600 Cup 1 joins the outside through the vent 0.');
    expect(texts).toContain('640 Cup 1 breathes.');
    expect(texts).toContain('1100 The vat runs low.');
    expect(texts).toContain('100 Island starts outside, 0.9 mm².');
    expect(texts).toContain('640 Island starts inside the hollow, 0.4 mm².');
    expect(texts.some((text) => text.includes('over the limit of 200 N'))).toBe(true);
  });

  test('a cup that never breathes says so', () => {
    const base = ballStrata();
    const sealed = { ...base.cups[0]!, joinsLayer: null, breathesLayer: null, breather: null };
    const texts = strataEvents({ ...base, cups: [sealed] }).map(({ text }) => text);
    expect(texts).toContain('Cup 1 ends and never breathed.');
    expect(texts.some((text) => text.includes('joins'))).toBe(false);
  });
});
