import { type Colour, mix, parseColour } from './colour.ts';

/** The colours Kitwright draws with, taken from the editor's theme. */
export interface Theme {
  readonly dark: boolean;
  readonly highContrast: boolean;
  readonly background: Colour;
  readonly foreground: Colour;
  /** Thin helping lines: machine volume, grid, axes. */
  readonly line: Colour;
  readonly outside: Colour;
  readonly hollow: Colour;
  readonly opening: Colour;
  readonly section: Colour;
  readonly sectionHatch: Colour;
  readonly show: Colour;
  readonly supports: Colour;
  readonly area: Colour;
  readonly cup: Colour;
  readonly pull: Colour;
  readonly focus: Colour;
}

const black: Colour = [0, 0, 0];
const white: Colour = [1, 1, 1];

/** `variable` reads one `--vscode-*` property, empty when absent; `classes` are those of `body`. */
export function readTheme(variable: (name: string) => string, classes: readonly string[]): Theme {
  const highContrast = classes.some((name) => name.startsWith('vscode-high-contrast'));
  const light = classes.includes('vscode-light') || classes.includes('vscode-high-contrast-light');
  const [nearBackground, nearForeground] = light ? [white, black] : [black, white];
  const background = parseColour(variable('--vscode-editor-background'), nearBackground) ?? nearBackground;
  const pick = (fallback: Colour, ...names: string[]): Colour => {
    for (const name of names) {
      const colour = parseColour(variable(name), background);
      if (colour !== null) return colour;
    }
    return fallback;
  };
  const foreground = pick(nearForeground, '--vscode-editor-foreground', '--vscode-foreground');
  const orange: Colour = light ? [0.75, 0.4, 0] : [0.95, 0.6, 0.2];
  const section = pick(orange, '--vscode-charts-orange');
  const blue = pick(light ? [0.1, 0.4, 0.8] : [0.35, 0.6, 0.95], '--vscode-charts-blue');
  const border = pick(foreground, '--vscode-contrastBorder');
  return {
    dark: !light,
    highContrast,
    background,
    foreground,
    line: highContrast ? border : mix(background, foreground, 0.35),
    outside: mix(background, foreground, 0.6),
    hollow: mix(background, blue, 0.75),
    opening: pick(light ? [0.2, 0.5, 0.2] : [0.5, 0.8, 0.5], '--vscode-charts-green'),
    section,
    sectionHatch: mix(section, background, 0.6),
    show: pick(light ? [0.4, 0.2, 0.55] : [0.75, 0.6, 0.9], '--vscode-charts-purple'),
    supports: pick(light ? [0.55, 0.45, 0] : [0.85, 0.75, 0.3], '--vscode-charts-yellow'),
    area: foreground,
    cup: blue,
    pull: pick(light ? [0.7, 0.1, 0.1] : [0.95, 0.4, 0.4], '--vscode-charts-red'),
    focus: pick(foreground, '--vscode-focusBorder', '--vscode-contrastActiveBorder'),
  };
}
