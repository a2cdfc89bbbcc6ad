import type { Interrupter } from '../interrupter.ts';
import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import type { DepthField } from './depthField.ts';
import type { DepthProbe } from './depthProbe.ts';
import { type FieldCells, firstNode, nodeIndex, nodesWithin } from './fieldCells.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';

/**
 * Where the level crosses the lattice's edges. The edges of a node towards +x, +y, +z that are
 * crossed have the numbers first[node], first[node] + 1, … in that order; `mask` tells which.
 */
export interface FieldCrossings {
  readonly first: Uint32Array;
  readonly mask: Uint8Array;
  readonly count: number;
  /** Six numbers a crossing: the point, and the unit gradient of the depth there (into the deep side). */
  readonly planes: Float32Array;
  /** Closest facet (packed) of each crossing. */
  readonly facet: Int32Array;
}

/** Gradients that differ by no more than this have a smooth depth between them. */
const SMOOTH = 0.01;
/** How near a crossing comes to the level, mm. */
const CROSSING_ERROR = 5e-4;

/** One end of a lattice edge. */
interface EdgeEnd {
  x: number;
  y: number;
  z: number;
  depth: number;
  /** Gradient of the depth. */
  gx: number;
  gy: number;
  gz: number;
  facet: number;
}

const edgeEnd = (): EdgeEnd => ({ x: 0, y: 0, z: 0, depth: 0, gx: 0, gy: 0, gz: 0, facet: -1 });

export function findCrossings(
  field: DepthField,
  cells: FieldCells,
  probe: DepthProbe,
  interrupter: Interrupter,
): FieldCrossings {
  const { first, mask, count } = countCrossings(field, cells);
  const planes = new Float32Array(6 * count);
  const facet = new Int32Array(count);
  const crossings = { first, mask, count, planes, facet };
  const found = closestPointScratch();
  const low = edgeEnd();
  const high = edgeEnd();
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    if ((slot & 15) === 0) interrupter(slot / field.brickOf.length);
    const [i0, j0, k0] = firstNode(field, slot);
    for (let local = 0; local < BRICK_NODES; local++) {
      const node = slot * BRICK_NODES + local;
      if (mask[node] === 0) continue;
      const i = i0 + (local & 7);
      const j = j0 + ((local >> 3) & 7);
      const k = k0 + (local >> 6);
      const own = field.facet[node]!;
      let crossing = first[node]!;
      for (let axis = 0; axis < 3; axis++) {
        if (((mask[node]! >> axis) & 1) === 0) continue;
        const next = nodeIndex(field, axis === 0 ? i + 1 : i, axis === 1 ? j + 1 : j, axis === 2 ? k + 1 : k);
        // Both ends of an edge that crosses the level were measured, unless a sample told one much too deep.
        const other = next < 0 ? -1 : field.facet[next]!;
        const hint = Math.max(own, other, 0);
        readEnd(field, probe, i, j, k, own, hint, low, found);
        readEnd(
          field,
          probe,
          axis === 0 ? i + 1 : i,
          axis === 1 ? j + 1 : j,
          axis === 2 ? k + 1 : k,
          other,
          hint,
          high,
          found,
        );
        if ((cells.configuration[node]! & 1) === 1)
          findCrossing(field, probe, low, high, axis, crossing, crossings, found);
        else findCrossing(field, probe, high, low, axis, crossing, crossings, found);
        crossing++;
      }
    }
  }
  return crossings;
}

/** Counts the edges of the field's own nodes and of one plane of nodes before and after them. */
function countCrossings(
  field: DepthField,
  { configuration }: FieldCells,
): Pick<FieldCrossings, 'first' | 'mask' | 'count'> {
  const first = new Uint32Array(configuration.length);
  const mask = new Uint8Array(configuration.length);
  let count = 0;
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    const start = slot * BRICK_NODES;
    const [from, to] = nodesWithin(field, slot, BRICK * field.layerFrom - 1, BRICK * field.layerTo + 1);
    for (let node = start + from; node < start + to; node++) {
      const sides = configuration[node]!;
      if (sides === 0 || sides === 255) continue;
      const own = sides & 1;
      const crossed =
        (((sides >> 1) & 1) ^ own) | ((((sides >> 2) & 1) ^ own) << 1) | ((((sides >> 4) & 1) ^ own) << 2);
      first[node] = count;
      mask[node] = crossed;
      count += (crossed & 1) + ((crossed >> 1) & 1) + (crossed >> 2);
    }
  }
  return { first, mask, count };
}

/** Depth and its gradient at a node by its closest facet; one without (−1) is measured now, from `hint`. */
function readEnd(
  { lattice }: DepthField,
  probe: DepthProbe,
  i: number,
  j: number,
  k: number,
  facet: number,
  hint: number,
  end: EdgeEnd,
  found: ClosestPoint,
): void {
  end.x = lattice.origin[0] + i * lattice.spacing;
  end.y = lattice.origin[1] + j * lattice.spacing;
  end.z = lattice.origin[2] + k * lattice.spacing;
  probe.query[0] = end.x;
  probe.query[1] = end.y;
  probe.query[2] = end.z;
  if (facet >= 0) probe.on(facet, found);
  else probe.nearest(hint, -1, found);
  end.facet = found.packed;
  end.depth = Math.sqrt(found.squared);
  const scale = end.depth === 0 ? 0 : 1 / end.depth;
  end.gx = (end.x - found.x) * scale;
  end.gy = (end.y - found.y) * scale;
  end.gz = (end.z - found.z) * scale;
}

/** The crossing between a deep and a shallow node of an edge along `axis`. */
function findCrossing(
  field: DepthField,
  probe: DepthProbe,
  deep: EdgeEnd,
  shallow: EdgeEnd,
  axis: number,
  crossing: number,
  { planes, facet }: FieldCrossings,
  found: ClosestPoint,
): void {
  const dx = deep.x - shallow.x;
  const dy = deep.y - shallow.y;
  const dz = deep.z - shallow.z;
  const length = Math.abs(dx + dy + dz);
  const sign = dx + dy + dz > 0 ? 1 : -1;
  const low = shallow.depth - field.level;
  const high = deep.depth - field.level;
  const slope0 = sign * length * component(shallow, axis);
  const slope1 = sign * length * component(deep, axis);
  const at = 6 * crossing;
  if (isSmooth(deep, shallow) && Math.abs(high - low - (slope0 + slope1) / 2) < SMOOTH * length) {
    const t = hermiteRoot(low, high, slope0, slope1);
    planes[at] = shallow.x + t * dx;
    planes[at + 1] = shallow.y + t * dy;
    planes[at + 2] = shallow.z + t * dz;
    const gx = shallow.gx + t * (deep.gx - shallow.gx);
    const gy = shallow.gy + t * (deep.gy - shallow.gy);
    const gz = shallow.gz + t * (deep.gz - shallow.gz);
    const scale = 1 / Math.sqrt(gx * gx + gy * gy + gz * gz);
    planes[at + 3] = gx * scale;
    planes[at + 4] = gy * scale;
    planes[at + 5] = gz * scale;
    facet[crossing] = t < 0.5 ? shallow.facet : deep.facet;
    return;
  }
  measuredRoot(probe, field.level, shallow, deep.facet, dx, dy, dz, low, high, slope0, found);
  const { x, y, z } = rootPoint;
  planes[at] = x;
  planes[at + 1] = y;
  planes[at + 2] = z;
  const scale = 1 / Math.sqrt(found.squared);
  planes[at + 3] = (x - found.x) * scale;
  planes[at + 4] = (y - found.y) * scale;
  planes[at + 5] = (z - found.z) * scale;
  facet[crossing] = found.packed;
}

const component = (end: EdgeEnd, axis: number): number =>
  axis === 0 ? end.gx : axis === 1 ? end.gy : end.gz;

const isSmooth = (a: EdgeEnd, b: EdgeEnd): boolean => a.gx * b.gx + a.gy * b.gy + a.gz * b.gz > 0.9;

/** Root in [0, 1] of the cubic with these end values (low ≤ 0 < high) and end slopes. */
function hermiteRoot(low: number, high: number, slope0: number, slope1: number): number {
  const c3 = 2 * (low - high) + slope0 + slope1;
  const c2 = 3 * (high - low) - 2 * slope0 - slope1;
  let from = 0;
  let to = 1;
  let t = low / (low - high);
  for (let step = 0; step < 12; step++) {
    const value = low + t * (slope0 + t * (c2 + t * c3));
    if (Math.abs(value) < 1e-7) return t;
    if (value > 0) to = t;
    else from = t;
    const next = t - value / (slope0 + t * (2 * c2 + 3 * t * c3));
    t = next > from && next < to ? next : (from + to) / 2;
  }
  return t;
}

const rootPoint = { x: 0, y: 0, z: 0 };

/** Root by exact depths, for edges that pass a ridge of the depth; secant kept inside its bracket. */
function measuredRoot(
  probe: DepthProbe,
  level: number,
  shallow: EdgeEnd,
  deepFacet: number,
  dx: number,
  dy: number,
  dz: number,
  low: number,
  high: number,
  slope: number,
  found: ClosestPoint,
): void {
  let from = 0;
  let to = 1;
  let fromValue = low;
  let toValue = high;
  // The shallow end's own sheet bounds the depth from above as far as it stays straight.
  let t = slope > 0 ? Math.min(1, -low / slope) : low / (low - high);
  for (let step = 0; step < 16; step++) {
    if (!(t > from && t < to)) t = (from + to) / 2;
    rootPoint.x = shallow.x + t * dx;
    rootPoint.y = shallow.y + t * dy;
    rootPoint.z = shallow.z + t * dz;
    probe.query[0] = rootPoint.x;
    probe.query[1] = rootPoint.y;
    probe.query[2] = rootPoint.z;
    probe.nearest(shallow.facet, deepFacet, found);
    const value = Math.sqrt(found.squared) - level;
    if (Math.abs(value) < CROSSING_ERROR) return;
    if (value > 0) {
      to = t;
      toValue = value;
    } else {
      from = t;
      fromValue = value;
    }
    t = step % 3 === 2 ? (from + to) / 2 : from + ((to - from) * fromValue) / (fromValue - toValue);
  }
}
