import type { Interrupter } from '../interrupter.ts';
import { portion } from '../interrupter.ts';
import { lightCurve } from '../lights/lightCurve.ts';
import { nearestPiece, type PieceBlock, pieceBlocks } from '../lights/pieceBlocks.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { closestOnSurface } from '../openings/closestOnSurface.ts';
import type { SurfaceIndex } from '../openings/surfaceIndex.ts';
import { scale, type Vec3 } from '../vector.ts';
import type { AskedPlace, CutDecision } from './cutDecision.ts';
import { type CutPlane, fromPlane, heightsOver, inPlane } from './cutPlane.ts';
import { insideDistance, type PlaneGrid } from './insideDistance.ts';
import { chooseKeyPlaces, type KeyPlace } from './keyPlaces.ts';
import { type Frustum, plugShape, socketShape } from './keyShape.ts';
import { isInSection, type PlaneSection, planeSection } from './planeSection.ts';
import type { RefusedKey, Seam, SeamKey } from './seam.ts';

/** A part about to be cut, in the unit of its mesh. */
export interface CutSubject {
  readonly mesh: Mesh;
  readonly surface: SurfaceIndex;
  readonly plane: CutPlane;
  /** Print mm per unit of the mesh. */
  readonly factor: number;
}

/** Places are looked for in steps no smaller than this and in no more cells, then measured exactly where room is. */
const LEAST_STEP_MM = 0.4;
const MOST_CELLS = 150_000;
const MOST_MEASURED = 400;
const MOST_SHIFTED = 60;
/** Shares of a socket's depth at which sections are looked at. */
const LOOKS = [0, 1 / 3, 2 / 3, 1];
/** More than this beyond what a key takes is as good as any, mm: far surfaces take long to measure. */
const SPARE_ENOUGH_MM = 4;
/** How far apart points on a key's axis are measured, mm. */
const AXIS_STEP_MM = 0.5;
/** Diameters that are offered instead of one without room: as multiples of this and down to the least, mm. */
const OFFER_STEP_MM = 0.5;
const LEAST_DIAMETER_MM = 1;

/**
 * Finds where the keys of a cut stand, in the frame of the mesh. A key has room where its socket, with
 * the wall asked for round it, keeps clear of the part's surface, measured as true distances from its
 * axis, of the cut's passages and of the tubes of lights with their lining. Places are looked for where sections of the front half are widest, so that the answer is the
 * same for both halves. Keys without room are left out and told.
 */
export function placeKeys(subject: CutSubject, cut: CutDecision, interrupter: Interrupter): Seam {
  const { mesh, plane, factor } = subject;
  const known = { ...subject, tubes: tubesOf(cut, factor) };
  const heights = heightsOver(plane, mesh.positions);
  const section = planeSection(mesh, plane, heights, 0, factor);
  const found =
    'places' in cut.keys
      ? givenKeys(known, section, cut, cut.keys.places)
      : lookedFor(known, section, heights, cut, cut.keys.count, interrupter);
  return { misses: false, areaMm2: section.area, ...found };
}

type Found = Pick<Seam, 'keys' | 'refused'>;

/** A light's tube, source axes at finished size, and the solid that must stand round it beside a socket's own wall. */
interface KeptTube {
  readonly blocks: readonly PieceBlock[];
  readonly radiusMm: number;
  readonly liningMm: number;
}

type KnownSubject = CutSubject & { readonly tubes: readonly KeptTube[] };

const tubesOf = ({ lights }: CutDecision, factor: number): KeptTube[] =>
  lights.flatMap(({ path, radiusMm, liningMm }) => {
    const curve = lightCurve(
      path.map((point) => scale(point, factor)),
      radiusMm + liningMm,
    );
    if (curve === null) return [];
    const pieces = curve.points.slice(1).map((to, n) => ({ from: curve.points[n]!, to }));
    return [{ blocks: pieceBlocks(pieces), radiusMm, liningMm }];
  });

function givenKeys(
  subject: KnownSubject,
  section: PlaneSection,
  cut: CutDecision,
  places: readonly AskedPlace[],
): Found {
  const keys: (SeamKey & KeyPlace)[] = [];
  const refused: RefusedKey[] = [];
  for (const { index, at, diameter } of places) {
    const [x, y] = inPlane(subject.plane, at).map((along) => along * subject.factor) as [number, number];
    const onPlane = fromPlane(subject.plane, x / subject.factor, y / subject.factor);
    const asked = { index, count: 1, at: onPlane, diameterMm: diameter };
    if (!isInSection(section, x, y)) {
      refused.push({ ...asked, reason: 'outside', fitsMm: null });
      continue;
    }
    const spare = spareAt(subject, cut, diameter, x, y);
    if (spare < 0) {
      refused.push({ ...asked, reason: 'thin', fitsMm: offered(diameter + 2 * spare) });
      continue;
    }
    const near = keys.some(
      (other) =>
        Math.hypot(x - other.x, y - other.y) <
        (apartFor(cut, diameter) + apartFor(cut, other.diameterMm)) / 2,
    );
    if (near) refused.push({ ...asked, reason: 'crowded', fitsMm: null });
    else keys.push({ at: onPlane, diameterMm: diameter, lengthMm: cut.key.length, x, y, spare });
  }
  return { keys: keys.map(({ at, diameterMm, lengthMm }) => ({ at, diameterMm, lengthMm })), refused };
}

/** Rounded down: what is offered must fit. */
function offered(diameter: number): number | null {
  const rounded = Math.floor(10 * diameter + 1e-6) / 10;
  return rounded >= LEAST_DIAMETER_MM ? rounded : null;
}

function lookedFor(
  subject: KnownSubject,
  section: PlaneSection,
  heights: Float64Array,
  cut: CutDecision,
  count: number,
  interrupter: Interrupter,
): Found {
  const { diameter } = cut.key;
  const grid = gridOver(section);
  if (count === 0) return { keys: [], refused: [] };
  if (grid === null) return { keys: [], refused: [missing(count, diameter, null)] };
  const depths = looksFor(cut, diameter);
  const rooms = depths.map((depth, n) => {
    interrupter(n / (depths.length + 2));
    const across = planeSection(subject.mesh, subject.plane, heights, depth / subject.factor, subject.factor);
    return insideDistance(across, grid);
  });
  const trial = (of: number): readonly KeyPlace[] =>
    chooseKeyPlaces(measured(subject, cut, grid, rooms, of), count, apartFor(cut, of), of / 2);
  const chosen = trial(diameter);
  const keys = chosen.map(({ x, y }) => ({
    at: fromPlane(subject.plane, x / subject.factor, y / subject.factor),
    diameterMm: diameter,
    lengthMm: cut.key.length,
  }));
  if (chosen.length === count) return { keys, refused: [] };
  const searching = portion(interrupter, depths.length / (depths.length + 2), 1);
  const fits = largestThat(diameter, (smaller, share) => {
    searching(share);
    return trial(smaller).length === count;
  });
  return { keys, refused: [missing(count - chosen.length, diameter, fits)] };
}

const missing = (count: number, diameterMm: number, fitsMm: number | null): RefusedKey => ({
  index: null,
  count,
  reason: 'thin',
  at: null,
  diameterMm,
  fitsMm,
});

/** The largest diameter under one that fits, by halving: what a wider one fits, a narrower one does. */
function largestThat(under: number, fits: (diameter: number, share: number) => boolean): number | null {
  let low = Math.ceil(LEAST_DIAMETER_MM / OFFER_STEP_MM) - 1;
  let high = Math.ceil(under / OFFER_STEP_MM);
  const steps = Math.max(1, high - low);
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (fits(middle * OFFER_STEP_MM, 1 - (high - low) / steps)) low = middle;
    else high = middle;
  }
  const found = low * OFFER_STEP_MM;
  return found >= LEAST_DIAMETER_MM ? found : null;
}

/** Distance between the middles of two keys of one diameter, at least. */
const apartFor = (cut: CutDecision, diameter: number): number =>
  2 * socketOf(cut, diameter).baseRadius + cut.key.wall;

const socketOf = (cut: CutDecision, diameter: number): Frustum =>
  socketShape(plugShape(cut.key, diameter), cut.clearance);

const looksFor = (cut: CutDecision, diameter: number): number[] => {
  const { length } = socketOf(cut, diameter);
  return [...LOOKS.map((share) => share * length), length + cut.key.wall];
};

function gridOver({ segments }: PlaneSection): PlaneGrid | null {
  if (segments.length === 0) return null;
  const low: [number, number] = [Infinity, Infinity];
  const high: [number, number] = [-Infinity, -Infinity];
  segments.forEach((value, at) => {
    const axis = (at % 2) as 0 | 1;
    low[axis] = Math.min(low[axis], value);
    high[axis] = Math.max(high[axis], value);
  });
  const [width, depth] = [high[0] - low[0], high[1] - low[1]];
  const step = Math.max(
    LEAST_STEP_MM,
    Math.sqrt((width * depth) / MOST_CELLS),
    (2 * Math.max(width, depth)) / MOST_CELLS,
  );
  const cells = (size: number) => Math.max(1, Math.ceil(size / step));
  return { low, step, columns: cells(width), rows: cells(depth) };
}

/** Cells with room by their sections, thinned to those with most of it, each measured exactly. */
function measured(
  subject: KnownSubject,
  cut: CutDecision,
  grid: PlaneGrid,
  rooms: readonly Float32Array[],
  diameter: number,
): KeyPlace[] {
  const socket = socketOf(cut, diameter);
  const taken = looksFor(cut, diameter).map((depth) =>
    depth > socket.length ? socket.endRadius : radiusAt(socket, depth) + cut.key.wall,
  );
  const spare = (cell: number): number =>
    rooms.reduce((least, room, n) => Math.min(least, room[cell]! - taken[n]!), Infinity);
  const spareHere = (x: number, y: number): number => spareAt(subject, cut, diameter, x, y);
  const candidates = thinned(grid, spare, -grid.step).map((cell) => {
    const x = grid.low[0] + ((cell % grid.columns) + 0.5) * grid.step;
    const y = grid.low[1] + (Math.floor(cell / grid.columns) + 0.5) * grid.step;
    const left = spareHere(x, y);
    // Far inside the sections tell which place is the roomier; near the surface they flatter a slope.
    return { x, y, spare: left < SPARE_ENOUGH_MM ? left : Math.max(left, spare(cell)) };
  });
  const good = candidates.filter((place) => place.spare >= 0);
  if (good.length > 0) return good;
  // A strip hardly wider than a key has its middle between cells.
  const near = candidates.filter((place) => place.spare > -grid.step);
  return near
    .filter((_, n) => n % Math.ceil(near.length / MOST_SHIFTED) === 0)
    .map((place) => shifted(place, grid.step, spareHere))
    .filter((place) => place.spare >= 0);
}

/** The place moved by less than a step to where more is to spare. */
function shifted(place: KeyPlace, step: number, spareHere: (x: number, y: number) => number): KeyPlace {
  let best = place;
  for (let reach = step / 2; reach > step / 20; reach /= 2) {
    const { x, y } = best;
    for (const [dx, dy] of [
      [reach, 0],
      [-reach, 0],
      [0, reach],
      [0, -reach],
    ] as const) {
      const spare = spareHere(x + dx, y + dy);
      if (spare > best.spare) best = { x: x + dx, y: y + dy, spare };
    }
  }
  return best;
}

/** Of each square of cells the one with the greatest value over `least`; squares so large that few are left. */
function thinned({ columns, rows }: PlaneGrid, spareOf: (cell: number) => number, least: number): number[] {
  const good: { cell: number; value: number }[] = [];
  for (let cell = 0; cell < columns * rows; cell++) {
    const value = spareOf(cell);
    if (value >= least) good.push({ cell, value });
  }
  for (let edge = Math.ceil(Math.sqrt(good.length / MOST_MEASURED)) || 1; ; edge++) {
    const best = new Map<number, { cell: number; value: number }>();
    for (const one of good) {
      const square =
        Math.floor(Math.floor(one.cell / columns) / edge) * columns + Math.floor((one.cell % columns) / edge);
      const known = best.get(square);
      if (known === undefined || one.value > known.value) best.set(square, one);
    }
    if (best.size <= MOST_MEASURED) return [...best.values()].map(({ cell }) => cell);
  }
}

const radiusAt = ({ baseRadius, endRadius, length }: Frustum, depth: number): number =>
  baseRadius + (depth / length) * (endRadius - baseRadius);

/**
 * By how much the socket, in its wall, keeps clear of the surface at its narrowest place, of the cut's
 * passages and of lights; negative where it does not. Told no further than it is enough.
 */
function spareAt(
  { surface, plane, factor, tubes }: KnownSubject,
  cut: CutDecision,
  diameter: number,
  x: number,
  y: number,
): number {
  const socket = socketOf(cut, diameter);
  const foot = socket.baseRadius + cut.key.wall;
  let least = SPARE_ENOUGH_MM;
  for (const passage of cut.passages) {
    const [px, py] = inPlane(plane, passage.at);
    const away = Math.hypot(x - px * factor, y - py * factor) - passage.diameter / 2;
    least = Math.min(least, away - foot);
  }
  const axis = [0, socket.length].map((depth) =>
    scale(fromPlane(plane, x / factor, y / factor, depth / factor), factor),
  ) as [Vec3, Vec3];
  for (const { blocks, radiusMm, liningMm } of tubes) {
    const taken = radiusMm + socket.baseRadius + Math.max(liningMm, cut.key.wall);
    const { apart } = nearestPiece({ from: axis[0], to: axis[1] }, blocks, taken + least);
    least = Math.min(least, apart - taken);
  }
  const steps = Math.ceil(socket.length / AXIS_STEP_MM);
  for (let n = 0; n <= steps; n++) {
    const depth = (n / steps) * socket.length;
    const on = fromPlane(plane, x / factor, y / factor, depth / factor);
    const taken = radiusAt(socket, depth) + cut.key.wall;
    const looked = (taken + least) / factor;
    const { distanceMm } = closestOnSurface(surface, on, looked);
    least = Math.min(least, distanceMm * factor - taken);
  }
  return least;
}
