import { describe, expect, test } from 'vitest';
import type { PartStateKind } from '../../src/core/kit/partState.ts';
import type { KitPart } from '../../src/protocol/kitMessages.ts';
import { legendOf, looksOf } from '../../webview/kit/colouring.ts';
import { firstHit } from '../../webview/kit/firstHit.ts';
import { readSavedKitState } from '../../webview/kit/savedState.ts';
import { cssColour } from '../../webview/shared/colour.ts';
import { readTheme } from '../../webview/shared/theme.ts';
import { icosphere } from '../shapes.ts';
import { themes } from './themes.ts';

const states: readonly PartStateKind[] = [
  'printed',
  'checking',
  'decision',
  'errors',
  'warnings',
  'ready',
  'unchecked',
];
const parts = (count: number, of: (n: number) => Partial<KitPart>): KitPart[] =>
  Array.from(
    { length: count },
    (_, n) => ({ name: `part ${n}`, state: 'ready', resin: null, ...of(n) }) as KitPart,
  );

describe('how parts are coloured', () => {
  test.each(Object.entries(themes))('no two states look alike in a %s theme', (_, { classes, variables }) => {
    const theme = readTheme((name) => variables[name] ?? '', classes.split(' '));
    const looks = looksOf(
      parts(7, (n) => ({ state: states[n]! })),
      'state',
    );
    const seen = [...looks.values()].map(({ pattern, colour }) => `${pattern} ${cssColour(colour(theme))}`);
    expect(new Set(seen).size).toBe(7);
  });

  test('no two states have the same pattern, nor have the first resins and none', () => {
    const patternsOf = (of: readonly KitPart[], by: 'state' | 'resin') =>
      [...looksOf(of, by).values()].map(({ pattern }) => pattern);
    const byState = patternsOf(
      parts(7, (n) => ({ state: states[n]! })),
      'state',
    );
    expect(new Set(byState).size).toBe(7);
    const byResin = patternsOf(
      parts(7, (n) => ({ resin: n === 0 ? null : `resin ${n}` })),
      'resin',
    );
    expect(new Set(byResin).size).toBe(7);
    // After the six colours the patterns come again; that of no resin never does.
    const [none, ...named] = patternsOf(
      parts(31, (n) => ({ resin: n === 0 ? null : `resin ${n}` })),
      'resin',
    );
    expect(named).not.toContain(none);
  });

  test('thirty resins are told apart by colour and pattern together', () => {
    const { classes, variables } = themes.dark;
    const theme = readTheme((name) => variables[name] ?? '', classes.split(' '));
    const looks = looksOf(
      parts(30, (n) => ({ resin: `resin ${n}` })),
      'resin',
    );
    const seen = [...looks.values()].map(({ pattern, colour }) => `${pattern} ${cssColour(colour(theme))}`);
    expect(new Set(seen).size).toBe(30);
  });

  test('the legend begins with what wants the builder', () => {
    const legend = legendOf(
      parts(8, (n) => ({ state: states[n % 7]! })),
      'state',
    );
    expect(legend.map(({ look, count }) => [look.label, count])).toEqual([
      ['errors', 1],
      ['needs a decision', 1],
      ['warnings', 1],
      ['ready', 1],
      ['printed', 2],
      ['being checked', 1],
      ['not checked', 1],
    ]);
  });
});

describe('what a line of sight meets', () => {
  test('is the near side of a ball, from any direction, or nothing', () => {
    const ball = icosphere(10, 4);
    for (const turn of [0.1, 1.3, 2.9, 4.4]) {
      const direction = [-Math.cos(turn), -Math.sin(turn) * 0.8, -Math.sin(turn) * 0.6] as const;
      const from = direction.map((value) => -50 * value) as unknown as [number, number, number];
      // The facets lie within the ball by less than a hundredth of its radius.
      expect(Math.abs(firstHit(ball, from, direction) - 40)).toBeLessThan(0.1);
      expect(
        firstHit(ball, from, direction.map((value) => -value) as unknown as [number, number, number]),
      ).toBe(Infinity);
    }
    expect(firstHit(ball, [0, 11, 50], [0, 0, -1])).toBe(Infinity);
    // From within, the far side.
    expect(Math.abs(firstHit(ball, [0, 0, 0], [0, 0, 1]) - 10)).toBeLessThan(0.1);
  });
});

test('a saved state of another form is no state', () => {
  const state = { orbit: null, by: 'resin', apartMm: 3, names: false };
  expect(readSavedKitState(state)).toEqual(state);
  for (const change of [
    { by: 'mood' },
    { apartMm: -1 },
    { apartMm: Number.NaN },
    { names: 1 },
    { orbit: {} },
  ]) {
    expect(readSavedKitState({ ...state, ...change })).toBeNull();
  }
  expect(readSavedKitState(null)).toBeNull();
});
