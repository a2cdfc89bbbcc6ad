import type { Vec3 } from '../vector.ts';
import type { FilmColumns } from './filmColumns.ts';
import { type FilmWays, filmWays } from './filmWays.ts';
import type { LimbLook } from './limbLook.ts';
import { isPrinted, type Mouth } from './mouthPlan.ts';
import type { ThinFilm } from './thinFilm.ts';

export interface LimbFilm {
  readonly film: ThinFilm;
  /** The film's mouth that each of the look's is; −1 where that is not printed yet. Two in one place share one. */
  readonly mouthOf: readonly number[];
}

/** Nodes that the film itself has, about; and with what lies beside it, at most. */
const usualNodes = 600;
const mostNodes = 2500;
/** The area that the columns find must be that of the layer within this, or the film is not theirs. */
const areaWithin = 0.3;
const mm = 1e-3;
/** Round mouths of less than this share of a cell are wells (`wellOf`), of wider ones their edge counts. */
const wellShare = 0.5;
const leastShare = 0.01;

/**
 * The liquid of one limb between film, floor and walls as a `ThinFilm`. Nodes are the runs of void of every
 * n-th column each way that hang together, as far as they are printed; what flows between two of them is
 * hindered by every column on the way (`filmWays.ts`). Its walls close it all round; resin comes in at the
 * mouths of its openings, as far as they are printed. Null where the columns do not show the limb (narrower
 * than they stand apart, or its area is not found again within a third), or no mouth is printed.
 */
export function limbFilm(columns: FilmColumns, look: LimbLook): LimbFilm | null {
  const film = (look.layer + 1) * columns.layerHeight;
  if (!look.mouths.some((mouth) => isPrinted(mouth, film))) return null;
  const usual = Math.max(1, Math.round(Math.sqrt(look.areaMm2 / usualNodes) / columns.spacing));
  return filmFrom(columns, look, usual) ?? (usual > 1 ? filmFrom(columns, look, usual >> 1) : null);
}

/** With the first stride from `least` on that does not take too many nodes. */
function filmFrom(columns: FilmColumns, look: LimbLook, least: number): LimbFilm | null {
  for (let stride = least; ; stride += 1 + (stride >> 1)) {
    const ways = filmWays(columns, look, stride, mostNodes);
    if (ways === null) continue;
    const areaMm2 = sumOf(ways.area) * columns.spacing ** 2;
    if (areaMm2 === 0 || Math.abs(areaMm2 / look.areaMm2 - 1) > areaWithin) return null;
    return assembled(columns, look, ways, stride);
  }
}

const sumOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);

/** The node that stands for a mouth, and what its ways conduct beside those of a node. */
interface Well {
  readonly node: number;
  readonly factor: number;
  /** No edge of the mouth counts. */
  readonly isSmall: boolean;
}

function assembled(columns: FilmColumns, look: LimbLook, ways: FilmWays, stride: number): LimbFilm | null {
  const { layer, areaMm2, mouths, necks } = look;
  const { mouthOfNode } = ways;
  const count = mouthOfNode.length;
  const film = (layer + 1) * columns.layerHeight;
  const cell = stride * columns.spacing;
  // What each node is: itself, or below 0 a mouth, −1 − its number.
  const idOf = Int32Array.from(mouthOfNode, (mouth, node) => (mouth >= 0 ? -1 - mouth : node));
  const mouthOf = mouths.map((mouth, at) => (isPrinted(mouth, film) ? at : -1));
  const wells = new Map<number, Well>();
  mouths.forEach((mouth, at) => {
    if (mouthOf[at] === -1) return;
    const well = wellOf(columns, ways, mouth, film, cell);
    const { node, factor } = well;
    if (idOf[node]! >= 0) idOf[node] = -1 - at;
    else if (ways.isMet[at] === 0) mouthOf[at] = -1 - idOf[node]!;
    if (factor > (wells.get(node)?.factor ?? 0)) wells.set(node, well);
  });
  const links = linksOf(ways, idOf, wells, stride);
  for (const [a, b] of necks) {
    if (Math.max(a[2], b[2]) > film) continue;
    const [from, to] = [nodeNear(columns, ways, a, cell), nodeNear(columns, ways, b, cell)];
    if (from < 0 || to < 0 || idOf[from] === idOf[to]) continue;
    links.from.push(idOf[from]!);
    links.to.push(idOf[to]!);
    links.conductance.push(noHindrance);
  }
  const perColumn = (areaMm2 * mm * mm) / sumOf(ways.area);
  const area = Float64Array.from(ways.area, (columnsOver) => columnsOver * perColumn);
  return { film: numbered(count, mouths.length, idOf, links, area), mouthOf };
}

/** m³: as much as no film of the usual depths conducts. */
const noHindrance = 1e-5;

/**
 * The node nearest to a mouth. Its ways carry what flows to a round mouth of its size: (π/2)/ln(cell/r) times the
 * usual (Peaceman 1978, from memory: a node by itself stands for r = 0.2 of a cell).
 */
function wellOf(columns: FilmColumns, ways: FilmWays, mouth: Mouth, film: number, cell: number): Well {
  const { x0, y0, nx, spacing, from, to, layerHeight } = columns;
  let node = -1;
  let least = Infinity;
  ways.column.forEach((column, at) => {
    const x = x0 + ((column % nx) + 0.5) * spacing;
    const y = y0 + (Math.floor(column / nx) + 0.5) * spacing;
    const run = ways.run[at]!;
    // A run that ends above or below the mouth is nearer to others than to it.
    const above = from[run]! * layerHeight - mouth.high;
    const below = mouth.low - Math.min(to[run]! * layerHeight, film);
    const away = mouth.away(x, y, film) + Math.max(0, above, below);
    // Of nodes within it the one in its middle.
    const distance = away > 0 ? away + mouth.radius : Math.hypot(x - mouth.at[0], y - mouth.at[1]);
    if (distance >= least) return;
    least = distance;
    node = at;
  });
  const share = mouth.planRadius(film) / cell;
  const factor = Math.PI / 2 / -Math.log(Math.min(Math.max(share, leastShare), wellShare));
  return { node, factor, isSmall: share < wellShare };
}

/** The node whose void lies nearest to a point, within two cells; −1 when none does. */
function nodeNear(columns: FilmColumns, ways: FilmWays, [px, py, pz]: Vec3, cell: number): number {
  const { x0, y0, nx, spacing, low, high } = columns;
  let node = -1;
  let least = 2 * cell;
  ways.column.forEach((column, at) => {
    const x = x0 + ((column % nx) + 0.5) * spacing - px;
    const y = y0 + (Math.floor(column / nx) + 0.5) * spacing - py;
    const run = ways.run[at]!;
    const z = Math.max(0, low[run]! - pz, pz - high[run]!);
    const away = Math.hypot(x, y, z);
    if (away >= least) return;
    least = away;
    node = at;
  });
  return node;
}

/** From, to and conductance of each. */
interface Links {
  readonly from: number[];
  readonly to: number[];
  readonly conductance: number[];
}

function linksOf(
  { paths, pieces }: FilmWays,
  idOf: Int32Array,
  wells: ReadonlyMap<number, Well>,
  stride: number,
): Links {
  const links: Links = { from: [], to: [], conductance: [] };
  const count = pieces.from.length;
  for (let piece = 0; piece < count; piece++) {
    const [from, to, path] = [pieces.from[piece]!, pieces.to[piece]!, pieces.path[piece]!];
    const fromId = from < 0 ? from : idOf[from]!;
    const toId = to < 0 ? to : idOf[to]!;
    if (fromId === toId) continue;
    let conductance = stride / pieces.hindrance[piece]!;
    for (const end of [paths.a[path]!, paths.b[path]!]) {
      const well = wells.get(end);
      const isOfWell = fromId === idOf[end] || toId === idOf[end];
      if (well === undefined || !isOfWell || paths.whole[path] === Number.POSITIVE_INFINITY) continue;
      const asWell = (well.factor * stride) / paths.whole[path]!;
      // A wider mouth never conducts less than it did as a well.
      conductance = well.isSmall ? asWell : Math.max(conductance, asWell);
    }
    links.from.push(fromId);
    links.to.push(toId);
    links.conductance.push(conductance);
  }
  return links;
}

/** Nodes that are no mouths, breadth first from the one met last: their matrix is narrow then. */
function numbered(
  count: number,
  mouths: number,
  idOf: Int32Array,
  links: Links,
  areaOf: Float64Array,
): ThinFilm {
  const ends = links.from.length;
  const start = new Uint32Array(count + 1);
  for (let link = 0; link < ends; link++) {
    if (links.from[link]! >= 0) start[links.from[link]! + 1]!++;
    if (links.to[link]! >= 0) start[links.to[link]! + 1]!++;
  }
  for (let n = 0; n < count; n++) start[n + 1]! += start[n]!;
  const cursor = start.slice();
  const other = new Int32Array(start[count]!);
  const conductance = new Float64Array(start[count]!);
  const between = new Float64Array(mouths * mouths);
  const put = (near: number, far: number, value: number): void => {
    if (near < 0) return;
    other[cursor[near]!] = far;
    conductance[cursor[near]!++] = value;
  };
  for (let link = 0; link < ends; link++) {
    const [a, b, value] = [links.from[link]!, links.to[link]!, links.conductance[link]!];
    put(a, b, value);
    put(b, a, value);
    if (a >= 0 || b >= 0) continue;
    between[(-1 - a) * mouths + (-1 - b)]! += value;
    between[(-1 - b) * mouths + (-1 - a)]! += value;
  }
  const order: number[] = [];
  const place = new Int32Array(count).fill(-1);
  for (let first = count - 1; first >= 0; first--) {
    if (idOf[first] !== first || place[first]! >= 0) continue;
    place[first] = order.push(first) - 1;
    for (let at = order.length - 1; at < order.length; at++) {
      const node = order[at]!;
      for (let link = start[node]!; link < start[node + 1]!; link++) {
        const next = other[link]!;
        if (next >= 0 && place[next]! < 0) place[next] = order.push(next) - 1;
      }
    }
  }
  return renumbered({ start, other, conductance, between }, order, place, idOf, areaOf, mouths);
}

function renumbered(
  { start, other, conductance, between }: Pick<ThinFilm, 'start' | 'other' | 'conductance' | 'between'>,
  order: readonly number[],
  place: Int32Array,
  idOf: Int32Array,
  areaOf: Float64Array,
  mouths: number,
): ThinFilm {
  const count = order.length;
  const film: ThinFilm = {
    start: new Uint32Array(count + 1),
    other: new Int32Array(other.length),
    conductance: new Float64Array(other.length),
    area: Float64Array.from(order, (node) => areaOf[node]!),
    mouthArea: new Float64Array(mouths),
    between,
  };
  let end = 0;
  order.forEach((node, at) => {
    for (let link = start[node]!; link < start[node + 1]!; link++) {
      film.other[end] = other[link]! < 0 ? other[link]! : place[other[link]!]!;
      film.conductance[end++] = conductance[link]!;
    }
    film.start[at + 1] = end;
  });
  idOf.forEach((id, node) => {
    if (id < 0) film.mouthArea[-1 - id]! += areaOf[node]!;
  });
  return film;
}
