import { addToPair, createPairSums } from '../layers/pairSums.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';
import { dot, norm, scale, subtract, type Vec3 } from '../vector.ts';
import { cellLookup } from './cellLookup.ts';
import { cellMiddle } from './cellMiddle.ts';
import { aroundSteps, faceSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { Neck } from './chamberNetwork.ts';
import { neckRun } from './neckRun.ts';

/** A face between cells of two lobes. */
interface Face {
  /** Places of its cells, that of the lower lobe first. */
  readonly from: number;
  readonly to: number;
  /** 0 to 5: the face of `from` (`faceSteps`). */
  readonly way: number;
}

/**
 * The necks between lobes: faces between their cells, those that hang together taken as one section. Its
 * area and direction are the sum of the faces as vectors, which for a plane cut by steps is the plane's
 * own area. Its hydraulic diameter is that of a slot with round ends of this area and of the inscribed
 * radius: 2·radius for a round neck, twice the gap for a long slot.
 */
export function findNecks(cells: ChamberCells, lobeOf: Uint16Array): Neck[] {
  const necks: Neck[] = [];
  const lookup = cellLookup(cells);
  for (const faces of sections(cells, lookup, facesByPair(cells, lookup, lobeOf))) {
    necks.push(neckOf(cells, lookup, lobeOf, faces));
  }
  return necks;
}

/** Faces of each pair of lobes that meet, pairs in the order of their first face. */
function facesByPair(cells: ChamberCells, lookup: Int32Array, lobeOf: Uint16Array): Face[][] {
  const { index, chamber, size } = cells;
  const steps = faceSteps(size);
  const pairs = createPairSums();
  const faces: Face[][] = [];
  for (let place = 0; place < index.length; place++) {
    for (let way = 0; way < 6; way++) {
      const other = lookup[index[place]! + steps[way]!]!;
      if (other < 0 || chamber[other] !== chamber[place] || lobeOf[place]! >= lobeOf[other]!) continue;
      const pair = addToPair(pairs, lobeOf[place]!, lobeOf[other]!, 1);
      if (pair === faces.length) faces.push([]);
      faces[pair]!.push({ from: place, to: other, way });
    }
  }
  return faces;
}

/** Splits the faces of each pair into those that hang together over cells that touch. */
function sections(cells: ChamberCells, lookup: Int32Array, pairs: readonly Face[][]): Face[][] {
  const steps = aroundSteps(cells.size);
  return pairs.flatMap((faces) => {
    const firstOf = new Map<number, number>();
    const parent = singletons(faces.length);
    faces.forEach(({ from }, n) => {
      const first = firstOf.get(from);
      if (first === undefined) firstOf.set(from, n);
      else joinSets(parent, first, n);
    });
    for (const [from, n] of firstOf) {
      for (const step of steps) {
        const other = firstOf.get(lookup[cells.index[from]! + step]!);
        if (other !== undefined) joinSets(parent, n, other);
      }
    }
    const byRoot = new Map<number, Face[]>();
    faces.forEach((face, n) => {
      const root = findRoot(parent, n);
      const section = byRoot.get(root);
      if (section) section.push(face);
      else byRoot.set(root, [face]);
    });
    return [...byRoot.values()];
  });
}

function neckOf(cells: ChamberCells, lookup: Int32Array, lobeOf: Uint16Array, faces: readonly Face[]): Neck {
  const { clearance, spacing } = cells;
  const sum: [number, number, number] = [0, 0, 0];
  let widest = faces[0]!;
  const clearanceAt = ({ from, to }: Face): number => Math.min(clearance[from]!, clearance[to]!);
  for (const face of faces) {
    sum[face.way >> 1]! += (face.way & 1 ? 1 : -1) * spacing * spacing;
    if (clearanceAt(face) > clearanceAt(widest)) widest = face;
  }
  const { from, to } = widest;
  const [p, q] = [cellMiddle(cells, from), cellMiddle(cells, to)];
  // A section that closes on itself has no direction: then that of its widest face.
  const total = norm(sum);
  const direction = total > 0 ? scale(sum, 1 / total) : scale(subtract(q, p), 1 / spacing);
  const radiusMm = Math.min(
    inscribedRadius(cells, new Set(faces.map((face) => face.from)), direction),
    inscribedRadius(cells, new Set(faces.map((face) => face.to)), direction),
  );
  const areaMm2 = sectionArea(total, radiusMm, spacing);
  return {
    a: lobeOf[from]!,
    b: lobeOf[to]!,
    at: p.map((value, axis) => (value + q[axis]!) / 2) as unknown as Vec3,
    direction,
    areaMm2,
    radiusMm,
    hydraulicMm: slotDiameter(areaMm2, radiusMm),
    ...neckRun(cells, lookup, lobeOf, from, to, radiusMm),
  };
}

/**
 * Radius of the largest ball that passes these cells of a section, finer than the cells: where the wall
 * stands c and d from the middles of two that touch, its two sides are at least c + d + their distance
 * across the section apart, and just that where its middle lies between them.
 */
function inscribedRadius(cells: ChamberCells, section: ReadonlySet<number>, direction: Vec3): number {
  const { index, clearance } = cells;
  const placeAt = new Map([...section].map((place) => [index[place]!, place]));
  const steps = aroundSteps(cells.size);
  let widest = 0;
  for (const place of section) {
    widest = Math.max(widest, clearance[place]!);
    const middle = cellMiddle(cells, place);
    for (const step of steps) {
      const other = placeAt.get(index[place]! + step);
      if (other === undefined) continue;
      const between = subtract(cellMiddle(cells, other), middle);
      const across = norm(subtract(between, scale(direction, dot(between, direction))));
      widest = Math.max(widest, (clearance[place]! + clearance[other]! + across) / 2);
    }
  }
  return widest;
}

/** Faces tell an area no better than this part of a cell along its rim. */
const RIM_CELLS = 0.25;

/** The area of a section by its faces, or its inscribed circle's where the faces can not tell the two apart. */
function sectionArea(faces: number, radius: number, spacing: number): number {
  const circle = Math.PI * radius * radius;
  return faces - circle < RIM_CELLS * spacing * 2 * Math.PI * radius ? circle : faces;
}

/** Hydraulic diameter 4·A/P of a slot 2·r wide with round ends; 2·r where the area is not more than the circle's. */
function slotDiameter(area: number, radius: number): number {
  const straight = Math.max(0, area - Math.PI * radius * radius) / (2 * radius);
  const slot = Math.PI * radius * radius + 2 * radius * straight;
  return (4 * slot) / (2 * Math.PI * radius + 2 * straight);
}
