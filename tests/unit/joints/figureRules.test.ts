import { expect, it } from 'vitest';
import type { FigureBalance } from '../../../src/core/joints/balanceFigure.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';

function judged(figure: Partial<FigureBalance>, limits = '{}', leftOut: readonly string[] = []) {
  const text = `kit: x\nscale: { factor: 1 }\nlimits: ${limits}\nparts: { base: { file: a.stl } }\n`;
  const whole: FigureBalance = {
    up: [0, 0, 1],
    massG: 800,
    at: [0, 0, 150],
    heightMm: 150,
    standsOn: ['base'],
    footingMm2: 5000,
    tipDeg: 12,
    tipsToward: [0, -1, 0],
    tipsAt: [1, 2, 3],
    ...figure,
  };
  const toPrint = { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 4] as const };
  return kitRules({
    manifest: parseManifest(text).manifest!,
    facts: new Map(),
    plates: new Map(),
    joints: [],
    swallowed: [],
    assembled: { figure: whole, parts: [], toPrint, leftOut },
  });
}

it.each<[string, Partial<FigureBalance>, string, string[]]>([
  ['that stands on a slope of 12°', {}, '{}', []],
  ['that falls at 9°', { tipDeg: 9 }, '{}', ['figure-tips-over']],
  ['that falls as it stands', { tipDeg: -3 }, '{}', ['figure-tips-over']],
  ['that must stand on a slope of 15°', {}, '{ tip-angle: 15 }', ['figure-tips-over']],
  ['that need not stand', { tipDeg: 1 }, '{ tip-angle: 0 }', []],
])('a figure %s', (_, figure, limits, codes) => {
  expect(judged(figure, limits).map(({ code }) => code)).toEqual(codes);
});

it('that falls is told at what it stands on, with side and angle', () => {
  const [draft] = judged({ tipDeg: 9, tipsToward: [0.1, -0.995, 0] }, '{}', ['satchel']);
  expect(draft).toMatchObject({ part: 'base', at: [1, 2, 7], measured: 9, limit: 10, unit: '°' });
  expect(draft!.message).toContain('toward y− when');
  expect(draft!.message).toContain('tilted by 9°, under 10°');
  expect(draft!.message).toContain('satchel not counted');
});
