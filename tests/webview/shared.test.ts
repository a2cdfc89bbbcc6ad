import { describe, expect, test } from 'vitest';
import { contrast, cssColour, parseColour } from '../../webview/shared/colour.ts';
import { figureText } from '../../webview/shared/figureText.ts';
import { readTheme } from '../../webview/shared/theme.ts';
import { usableSize } from '../../webview/shared/usableSize.ts';
import { isRpcMessage } from '../../webview/shared/webviewTransport.ts';
import { themes } from './themes.ts';

const black = [0, 0, 0] as const;
const white = [1, 1, 1] as const;

describe('colours', () => {
  test('as theme variables are written', () => {
    expect(parseColour('#ff8000', black)).toEqual([1, 128 / 255, 0]);
    expect(parseColour(' #F80 ', black)).toEqual([1, 136 / 255, 0]);
    expect(parseColour('rgb(255, 0, 51)', black)).toEqual([1, 0, 0.2]);
    expect(parseColour('rgba(255, 255, 255, 0.25)', black)).toEqual([0.25, 0.25, 0.25]);
    expect(parseColour('rgb(0 0 0 / 50%)', white)).toEqual([0.5, 0.5, 0.5]);
    expect(parseColour('#00000080', white)![0]).toBeCloseTo(1 - 128 / 255, 12);
    for (const text of ['', 'red', '#12', '#12345', 'rgb(1,2)', 'rgb(a,b,c)', 'url(x)']) {
      expect(parseColour(text, black), text).toBeNull();
    }
    expect(cssColour([1, 0.5, 0], 0.4)).toBe('rgba(255, 128, 0, 0.4)');
  });

  test('contrast as WCAG 2.2 gives it: 21 for black on white, 4.54 for #767676 on white', () => {
    expect(contrast(black, white)).toBeCloseTo(21, 10);
    expect(contrast(parseColour('#767676', black)!, white)).toBeCloseTo(4.54, 2);
  });
});

describe('readTheme', () => {
  const read = (name: keyof typeof themes) =>
    readTheme((variable) => themes[name].variables[variable] ?? '', themes[name].classes.split(' '));

  test('kind and colours', () => {
    expect(read('dark')).toMatchObject({
      dark: true,
      highContrast: false,
      background: parseColour('#1f1f1f', black),
    });
    expect(read('light')).toMatchObject({ dark: false, highContrast: false, background: white });
    expect(read('contrast')).toMatchObject({
      dark: true,
      highContrast: true,
      line: parseColour('#6fc3df', black),
    });
    expect(read('contrastLight')).toMatchObject({ dark: false, highContrast: true });
  });

  test('what carries meaning stands off the background, 3 to 1 (WCAG 1.4.11), in every theme', () => {
    for (const name of Object.keys(themes) as (keyof typeof themes)[]) {
      const theme = read(name);
      for (const key of ['area', 'cup', 'pull', 'focus', 'foreground'] as const) {
        expect(contrast(theme[key], theme.background), `${name} ${key}`).toBeGreaterThanOrEqual(3);
      }
      // Next to each other in a cut: told apart by the hatch, whatever the colours.
      expect(contrast(theme.section, theme.sectionHatch), `${name} hatch`).toBeGreaterThanOrEqual(1.9);
    }
  });

  test('a theme that says nothing still gives a picture', () => {
    const bare = readTheme(() => '', []);
    expect(contrast(bare.foreground, bare.background)).toBeCloseTo(21, 6);
    const bareLight = readTheme(() => '', ['vscode-light']);
    expect(bareLight.background).toEqual(white);
    expect(contrast(bareLight.section, bareLight.background)).toBeGreaterThan(3);
  });
});

test('a hidden page’s size is not drawn at', () => {
  expect(usableSize(800.7, 600, false)).toEqual({ width: 800, height: 600 });
  expect(usableSize(800, 600, true)).toBeNull();
  expect(usableSize(300, 150, false)).toBeNull();
  expect(usableSize(0, 600, false)).toBeNull();
  expect(usableSize(300, 151, false)).toEqual({ width: 300, height: 151 });
});

test('figures carry no more digits than they deserve', () => {
  expect([3120.4, 31.2, 9.96, 2.04, 0.5, 0.126, 0].map((value) => figureText(value, 'N'))).toEqual([
    '3120 N',
    '31 N',
    '10 N',
    '2 N',
    '0.5 N',
    '0.13 N',
    '0 N',
  ]);
  expect(figureText(500, '')).toBe('500');
});

test('only our own messages are taken from the window', () => {
  expect(isRpcMessage({ kind: 'reply', id: 1, value: null })).toBe(true);
  for (const data of [
    null,
    'reply',
    3,
    {},
    { kind: 'reply' },
    { kind: 'other', id: 1 },
    { kind: 'reply', id: '1' },
  ]) {
    expect(isRpcMessage(data)).toBe(false);
  }
});
