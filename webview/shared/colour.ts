/** Red, green, blue in 0…1 as the screen shows them (sRGB). */
export type Colour = readonly [number, number, number];

/**
 * A CSS colour as VS Code writes its theme variables: `#rgb`, `#rrggbb`, either with alpha, `rgb()`,
 * `rgba()`. A translucent colour is laid over `background`. Null for anything else.
 */
export function parseColour(text: string, background: Colour): Colour | null {
  const parsed = parseHex(text.trim()) ?? parseFunction(text.trim());
  if (parsed === null) return null;
  const [r, g, b, alpha] = parsed;
  return mix(background, [r, g, b], alpha);
}

/** `from` at 0, `to` at 1. */
export function mix(from: Colour, to: Colour, share: number): Colour {
  const at = (i: 0 | 1 | 2): number => from[i] + (to[i] - from[i]) * share;
  return [at(0), at(1), at(2)];
}

export function cssColour(colour: Colour, alpha = 1): string {
  const [r, g, b] = colour.map((value) => Math.round(value * 255));
  return `rgba(${r}, ${g}, ${b}, ${alpha})`;
}

/** Relative luminance as WCAG 2.2 defines it. */
export function luminance(colour: Colour): number {
  const [r, g, b] = colour.map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)) as [
    number,
    number,
    number,
  ];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Contrast ratio as WCAG 2.2 defines it, 1…21. */
export function contrast(a: Colour, b: Colour): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

type Rgba = readonly [number, number, number, number];

function parseHex(text: string): Rgba | null {
  const digits = /^#([0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})$/i.exec(text)?.[1];
  if (digits === undefined) return null;
  const wide = digits.length <= 4 ? [...digits].map((digit) => digit + digit).join('') : digits;
  const byte = (i: number): number => Number.parseInt(wide.slice(i, i + 2), 16) / 255;
  return [byte(0), byte(2), byte(4), wide.length === 8 ? byte(6) : 1];
}

function parseFunction(text: string): Rgba | null {
  const inner = /^rgba?\(([^)]*)\)$/i.exec(text)?.[1];
  if (inner === undefined) return null;
  const parts = inner.split(/[\s,/]+/).filter((part) => part !== '');
  const numbers = parts.map(
    (part, i) => Number.parseFloat(part) / (part.endsWith('%') ? 100 : i < 3 ? 255 : 1),
  );
  if (numbers.length < 3 || numbers.length > 4 || numbers.some((value) => !Number.isFinite(value)))
    return null;
  const [r, g, b, alpha = 1] = numbers.map((value) => Math.min(1, Math.max(0, value)));
  return [r!, g!, b!, alpha];
}
