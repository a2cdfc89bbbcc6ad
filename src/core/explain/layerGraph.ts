export interface LayerGraph {
  readonly title: string;
  /** What the graph says in one sentence; read out in place of the picture. */
  readonly description: string;
  readonly unit: string;
  /** One figure a layer, from the plate. */
  readonly values: Float64Array;
  /** mm. */
  readonly layerHeight: number;
  /** Drawn as a line across, when given. */
  readonly limit?: number;
}

const size = { width: 720, height: 190 } as const;
const room = { left: 66, right: 14, top: 30, bottom: 34 } as const;
const plot = {
  width: size.width - room.left - room.right,
  height: size.height - room.top - room.bottom,
} as const;
/**
 * A picture cannot know the theme of the page around it, so it brings its own card: against this white
 * the ink has a contrast of 16, the curve of 6.6, limit 6.5 and axes 4.5 to 1 (WCAG 2.2: text 4.5, lines 3).
 */
const colours = {
  card: '#ffffff',
  ink: '#1f1f1f',
  axis: '#767676',
  curve: '#0b5cad',
  under: '#dbe9f7',
  limit: '#b3261e',
} as const;
/** Columns of the curve: each shows the largest figure of its layers, so that no peak is lost. */
const mostColumns = 600;

/** A figure by layer as an SVG picture, plate at the left. Same input, same text. */
export function layerGraph({ title, description, unit, values, layerHeight, limit }: LayerGraph): string {
  const tallest = values.reduce((most, value) => Math.max(most, value), limit ?? 0);
  const top = tallest > 0 ? tallest * 1.05 : 1;
  const y = (value: number): string => (room.top + plot.height * (1 - value / top)).toFixed(1);
  const points = columnsOf(values).map(
    ({ at, value }) => `${(room.left + plot.width * at).toFixed(1)},${y(value)}`,
  );
  const base = y(0);
  const curve = points.join(' ');
  const right = size.width - room.right;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${size.width}" height="${size.height}" viewBox="0 0 ${size.width} ${size.height}" role="img" font-family="sans-serif" font-size="12">`,
    `<title>${escapeXml(title)}</title><desc>${escapeXml(description)}</desc>`,
    `<rect width="100%" height="100%" fill="${colours.card}"/>`,
    text(room.left, 19, `${title}, ${unit}`, 'start', 'font-weight="bold"'),
    ...(points.length === 0
      ? []
      : [
          `<polygon points="${room.left},${base} ${curve} ${right},${base}" fill="${colours.under}"/>`,
          `<polyline points="${curve}" fill="none" stroke="${colours.curve}" stroke-width="1.5"/>`,
        ]),
    `<path d="M${room.left} ${room.top}V${base}H${right}" fill="none" stroke="${colours.axis}"/>`,
    ...ticks(top, 4).flatMap((value) => [
      line(room.left - 4, y(value), room.left, y(value), colours.axis),
      text(room.left - 7, Number(y(value)) + 4, String(value), 'end'),
    ]),
    ...heightTicks(values.length * layerHeight, Number(base)),
    ...(limit === undefined ? [] : limitLine(limit, y(limit), right)),
    '</svg>',
  ].join('');
}

function limitLine(limit: number, y: string, right: number): string[] {
  return [
    line(room.left, y, right, y, colours.limit, 'stroke-dasharray="8 4"'),
    text(right, Number(y) - 4, `limit ${limit}`, 'end', `fill="${colours.limit}"`),
  ];
}

function heightTicks(tallMm: number, base: number): string[] {
  const across = (mm: number) => (room.left + (plot.width * mm) / (tallMm || 1)).toFixed(1);
  return [
    ...ticks(tallMm, 8).flatMap((mm) => [
      line(across(mm), base, across(mm), base + 4, colours.axis),
      text(across(mm), base + 17, mm === 0 ? 'plate' : String(mm), 'middle'),
    ]),
    text(size.width - room.right, base + 31, 'height above the plate, mm', 'end'),
  ];
}

/** Where across the plot (0 to 1) and how high. */
function columnsOf(values: Float64Array): { readonly at: number; readonly value: number }[] {
  const columns = Math.min(values.length, mostColumns);
  return Array.from({ length: columns }, (_, column) => {
    const from = Math.floor((column * values.length) / columns);
    const to = Math.floor(((column + 1) * values.length) / columns);
    const value = values.subarray(from, to).reduce((most, one) => Math.max(most, one), 0);
    return { at: (column + 0.5) / columns, value };
  });
}

/** Round figures from 0 up to `top`, about `count` of them: 1, 2 or 5 times a power of ten apart. */
function ticks(top: number, count: number): number[] {
  if (!(top > 0)) return [0];
  const rough = top / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((times) => times * power >= rough * 0.999) ?? 10);
  const steps = Math.floor(top / step + 1e-9);
  return Array.from({ length: steps + 1 }, (_, n) => Number((n * step).toPrecision(6)));
}

const line = (
  x1: number | string,
  y1: number | string,
  x2: number | string,
  y2: number | string,
  colour: string,
  more = '',
): string => `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="${colour}" ${more}/>`;

const text = (x: number | string, y: number, words: string, anchor: string, more = ''): string =>
  `<text x="${x}" y="${y.toFixed(1)}" text-anchor="${anchor}" ${more.includes('fill=') ? more : `fill="${colours.ink}" ${more}`}>${escapeXml(words)}</text>`;

function escapeXml(words: string): string {
  return words.replace(/[^\P{Cc}\n\t]/gu, ' ').replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
