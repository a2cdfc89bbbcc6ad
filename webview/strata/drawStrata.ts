import type { Strata } from '../../src/protocol/partView.ts';
import { type Colour, cssColour } from '../shared/colour.ts';
import { figureText } from '../shared/figureText.ts';
import type { Theme } from '../shared/theme.ts';
import { type ColumnRange, columnRange } from './columnRange.ts';
import { type LayerAxis, layerToPixel } from './layerAxis.ts';
import { niceStep, type StrataScale, strataScale } from './strataScale.ts';

/** Dashes that tell the curves apart without colour; the legend shows the same. */
export const dashes = { area: [], cup: [7, 3], pull: [2, 3], limit: [10, 3, 2, 3], vat: [1, 4] } as const;

const sides = { left: 48, right: 44 } as const;
const laneHeight = 11;
const mostLanes = 4;
const tickRow = 11;
const axisRow = 16;
const topGap = 8;

/** Everything about a graph that does not change while the cut is dragged. */
export interface StrataPlot {
  readonly strata: Strata;
  readonly axis: LayerAxis;
  readonly scale: StrataScale;
  readonly top: number;
  readonly bottom: number;
  readonly height: number;
  readonly area: ColumnRange;
  readonly cup: ColumnRange;
  readonly pull: ColumnRange;
  /** The cups that get a lane: those of the highest suction. */
  readonly lanes: Strata['cups'];
}

export function strataPlot(strata: Strata, width: number, height: number): StrataPlot {
  const columns = Math.max(1, Math.floor(width - sides.left - sides.right));
  const lanes = [...strata.cups].sort((a, b) => b.peakPullN - a.peakPullN).slice(0, mostLanes);
  return {
    strata,
    axis: { left: sides.left, width: columns, layers: Math.max(1, strata.layers) },
    scale: strataScale(strata),
    top: topGap + lanes.length * laneHeight,
    bottom: height - axisRow - tickRow,
    height,
    area: columnRange(strata.areaMm2, columns),
    cup: columnRange(strata.cupAreaMm2, columns),
    pull: columnRange(strata.pullN, columns),
    lanes,
  };
}

export function drawStrata(
  pen: CanvasRenderingContext2D,
  plot: StrataPlot,
  theme: Theme,
  font: string,
  cutLayer: number | null,
): void {
  pen.font = font;
  drawAxes(pen, plot, theme);
  drawArea(pen, plot, theme);
  const { scale } = plot;
  drawCurve(pen, plot, plot.area, scale.areaTop, theme.area, dashes.area, 1.5);
  drawCurve(pen, plot, plot.cup, scale.areaTop, theme.cup, dashes.cup, 1.75);
  drawCurve(pen, plot, plot.pull, scale.pullTop, theme.pull, dashes.pull, 2);
  drawLimit(pen, plot, theme);
  drawCups(pen, plot, theme);
  drawIslands(pen, plot, theme);
  drawVatLow(pen, plot, theme);
  if (cutLayer !== null) drawCut(pen, plot, theme, cutLayer);
}

function drawAxes(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis, top, bottom, height, strata, scale } = plot;
  pen.strokeStyle = cssColour(theme.line, theme.highContrast ? 1 : 0.6);
  pen.fillStyle = cssColour(theme.foreground);
  pen.lineWidth = 1;
  pen.setLineDash([]);
  pen.strokeRect(axis.left + 0.5, top + 0.5, axis.width, bottom - top);
  pen.textBaseline = 'alphabetic';
  pen.textAlign = 'center';
  const tall = strata.layers * strata.layerHeight;
  const step = niceStep(tall, axis.width / 70);
  const baseline = height - 4;
  for (let mm = 0; mm <= tall + 1e-9; mm += step) {
    const x = axis.left + (mm / (tall || 1)) * axis.width;
    pen.fillText(mm === 0 ? 'plate' : String(Number(mm.toFixed(2))), x, baseline);
    line(pen, x, bottom, x, bottom + 4);
  }
  pen.textAlign = 'left';
  pen.fillText('mm', axis.left + axis.width + 16, baseline);
  pen.textBaseline = 'middle';
  pen.textAlign = 'right';
  pen.fillText(figureText(scale.areaTop, ''), axis.left - 6, top + 5);
  pen.fillText('0', axis.left - 6, bottom);
  pen.fillText('mm²', axis.left - 6, (top + bottom) / 2);
  pen.textAlign = 'left';
  pen.fillText(figureText(scale.pullTop, ''), axis.left + axis.width + 6, top + 5);
  pen.fillText('0', axis.left + axis.width + 6, bottom);
  pen.fillText('N', axis.left + axis.width + 6, (top + bottom) / 2);
}

function drawArea(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis, area, bottom, scale } = plot;
  pen.beginPath();
  pen.moveTo(axis.left, bottom);
  for (let column = 0; column < area.high.length; column++) {
    pen.lineTo(axis.left + column + 0.5, yOf(plot, area.high[column]!, scale.areaTop));
  }
  pen.lineTo(axis.left + axis.width, bottom);
  pen.closePath();
  pen.fillStyle = cssColour(theme.area, 0.12);
  pen.fill();
}

function drawCurve(
  pen: CanvasRenderingContext2D,
  plot: StrataPlot,
  { low, high }: ColumnRange,
  scaleTop: number,
  colour: Colour,
  dash: readonly number[],
  width: number,
): void {
  pen.beginPath();
  let last = 0;
  for (let column = 0; column < high.length; column++) {
    const x = plot.axis.left + column + 0.5;
    // The nearer end first, so that the line does not jump back and forth inside a column.
    const upFirst = Math.abs(high[column]! - last) < Math.abs(low[column]! - last);
    const [first, second] = upFirst ? [high[column]!, low[column]!] : [low[column]!, high[column]!];
    if (column === 0) pen.moveTo(x, yOf(plot, first, scaleTop));
    else pen.lineTo(x, yOf(plot, first, scaleTop));
    if (second !== first) pen.lineTo(x, yOf(plot, second, scaleTop));
    last = second;
  }
  pen.strokeStyle = cssColour(colour);
  pen.lineWidth = width;
  pen.setLineDash([...dash]);
  pen.stroke();
  pen.setLineDash([]);
}

function drawLimit(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis, scale, strata } = plot;
  const text = `limit ${figureText(strata.pullLimitN, 'N')}`;
  const y = scale.limitInSight ? yOf(plot, strata.pullLimitN, scale.pullTop) : plot.top;
  if (scale.limitInSight) {
    pen.strokeStyle = cssColour(theme.pull);
    pen.lineWidth = 1;
    pen.setLineDash([...dashes.limit]);
    line(pen, axis.left, y + 0.5, axis.left + axis.width, y + 0.5);
    pen.setLineDash([]);
  }
  pen.textAlign = 'right';
  pen.textBaseline = 'middle';
  const below = y - plot.top < 14;
  label(
    pen,
    theme,
    scale.limitInSight ? text : `${text}, above this graph`,
    axis.left + axis.width - 6,
    y + (below ? 9 : -8),
  );
}

/** One lane a cup: hatched while sealed, barred while joined but not breathing, a thin line after. */
function drawCups(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis } = plot;
  pen.strokeStyle = cssColour(theme.cup);
  plot.lanes.forEach((cup, lane) => {
    const y = topGap / 2 + lane * laneHeight;
    const start = edge(axis, cup.fromLayer);
    const end = edge(axis, cup.toLayer + 1);
    const joins = cup.joinsLayer === null ? end : edge(axis, cup.joinsLayer);
    const breathes = cup.breathesLayer === null ? end : edge(axis, cup.breathesLayer);
    hatched(pen, start, joins, y, laneHeight - 3);
    if (breathes > joins) barred(pen, joins, breathes, y, laneHeight - 3);
    pen.lineWidth = 1.5;
    line(pen, Math.max(joins, breathes), y + 4, end, y + 4);
    if (cup.breathesLayer !== null) dot(pen, breathes, y + 4, theme.cup);
    pen.textBaseline = 'middle';
    pen.textAlign = 'right';
    pen.fillStyle = cssColour(theme.foreground);
    pen.fillText(`cup ${plot.strata.cups.indexOf(cup) + 1}`, axis.left - 6, y + 4);
  });
}

function hatched(pen: CanvasRenderingContext2D, from: number, to: number, y: number, height: number): void {
  const width = Math.max(2, to - from);
  pen.save();
  pen.beginPath();
  pen.rect(from, y, width, height);
  pen.clip();
  pen.lineWidth = 1.5;
  for (let x = from - height; x < from + width; x += 4) line(pen, x, y + height, x + height, y);
  pen.restore();
  pen.lineWidth = 1;
  pen.strokeRect(from + 0.5, y + 0.5, width - 1, height - 1);
}

function barred(pen: CanvasRenderingContext2D, from: number, to: number, y: number, height: number): void {
  pen.lineWidth = 1;
  for (let x = from + 2; x < to; x += 4) line(pen, x, y + 1, x, y + height - 1);
  line(pen, from, y + height - 0.5, to, y + height - 0.5);
}

function dot(pen: CanvasRenderingContext2D, x: number, y: number, colour: Colour): void {
  pen.fillStyle = cssColour(colour);
  pen.beginPath();
  pen.arc(x, y, 3, 0, 2 * Math.PI);
  pen.fill();
}

/** Ticks under the curves: filled where an island starts outside, hollow inside the part's hollow. */
function drawIslands(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis, bottom, strata } = plot;
  pen.strokeStyle = cssColour(theme.foreground);
  pen.fillStyle = cssColour(theme.foreground);
  pen.lineWidth = 1;
  for (const { layer, inside } of strata.islands) {
    const x = layerToPixel(axis, layer);
    pen.beginPath();
    pen.moveTo(x, bottom + 1);
    pen.lineTo(x - 4, bottom + tickRow - 2);
    pen.lineTo(x + 4, bottom + tickRow - 2);
    pen.closePath();
    if (inside) pen.stroke();
    else pen.fill();
  }
}

function drawVatLow(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme): void {
  const { axis, strata, top, bottom } = plot;
  if (strata.vatLowLayer === null) return;
  const x = layerToPixel(axis, strata.vatLowLayer);
  pen.strokeStyle = cssColour(theme.foreground);
  pen.lineWidth = 2;
  pen.setLineDash([...dashes.vat]);
  line(pen, x, top, x, bottom);
  pen.setLineDash([]);
  const room = axis.left + axis.width - x > 50;
  pen.textAlign = room ? 'left' : 'right';
  pen.textBaseline = 'middle';
  label(pen, theme, 'vat low', x + (room ? 5 : -5), bottom - 9);
}

function drawCut(pen: CanvasRenderingContext2D, plot: StrataPlot, theme: Theme, layer: number): void {
  const x = layerToPixel(plot.axis, layer);
  const { bottom } = plot;
  pen.strokeStyle = cssColour(theme.background);
  pen.lineWidth = 5;
  line(pen, x, 1, x, bottom + 2);
  pen.strokeStyle = cssColour(theme.section);
  pen.lineWidth = 2;
  line(pen, x, 1, x, bottom + 2);
  pen.fillStyle = cssColour(theme.section);
  pen.strokeStyle = cssColour(theme.background);
  pen.lineWidth = 1.5;
  const middle = (plot.top + bottom) / 2;
  pen.beginPath();
  pen.roundRect(x - 5, middle - 12, 10, 24, 4);
  pen.fill();
  pen.stroke();
  line(pen, x - 1.5, middle - 6, x - 1.5, middle + 6);
  line(pen, x + 1.5, middle - 6, x + 1.5, middle + 6);
}

/** Text on the graph, on a patch of background so that curves do not run through it. */
function label(pen: CanvasRenderingContext2D, theme: Theme, text: string, x: number, y: number): void {
  const width = pen.measureText(text).width;
  const left = pen.textAlign === 'right' ? x - width : x;
  pen.fillStyle = cssColour(theme.background, 0.85);
  pen.fillRect(left - 2, y - 7, width + 4, 14);
  pen.fillStyle = cssColour(theme.foreground);
  pen.fillText(text, x, y);
}

function edge(axis: LayerAxis, layer: number): number {
  return axis.left + (layer / axis.layers) * axis.width;
}

function yOf({ top, bottom }: StrataPlot, value: number, scaleTop: number): number {
  return bottom - (value / scaleTop) * (bottom - top);
}

function line(pen: CanvasRenderingContext2D, x1: number, y1: number, x2: number, y2: number): void {
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
}
