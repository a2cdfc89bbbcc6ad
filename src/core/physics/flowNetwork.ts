import { type VentResistance, ventFlow } from './ventResistance.ts';

/** A way for a flow between two nodes, or from the outside (`to` null) into one. */
export interface FlowWay {
  readonly from: number;
  readonly to: number | null;
  readonly resistance: VentResistance;
}

/**
 * By how much the pressure at each node lies under that outside, Pa, when node n takes demand[n] m³/s (0 or
 * more) and all of it comes through the ways: the roots of Σ Q(p_n − p_m) = demand[n]. Infinite at a node
 * that no way leads to from outside.
 *
 * Newton from the pressures without inertia. Flows grow with the difference of pressures, so the matrix is
 * symmetric and positive definite and the root is the only one; a step that does not lower the imbalance is
 * halved. Dense elimination: for tens of nodes.
 */
export function nodePressures(demand: Float64Array, ways: readonly FlowWay[]): Float64Array {
  const reached = reachedNodes(demand.length, ways);
  const open = ways.filter(({ from }) => reached[from] === 1);
  const asked = demand.map((flow, node) => (reached[node] === 1 ? flow : 0));
  let pressures: Float64Array = new Float64Array(demand.length);
  const slopes = open.map(({ resistance }) => 1 / resistance.linear);
  pressures = solved(matrixOf(reached, open, slopes), asked);
  let missing = imbalance(asked, open, pressures);
  const scale = asked.reduce((sum, flow) => sum + flow, 0);
  for (let step = 0; step < maxSteps && largest(missing) > tolerance * scale; step++) {
    const change = solved(
      matrixOf(
        reached,
        open,
        open.map((way) => slopeOf(way, pressures)),
      ),
      missing,
    );
    let next = pressures;
    let share = 1;
    for (; share > leastShare; share /= 2) {
      next = pressures.map((pressure, node) => pressure + share * change[node]!);
      if (largest(imbalance(asked, open, next)) < largest(missing)) break;
    }
    if (share <= leastShare) break;
    pressures = next;
    missing = imbalance(asked, open, pressures);
  }
  return pressures.map((pressure, node) => (reached[node] === 1 ? pressure : Number.POSITIVE_INFINITY));
}

const maxSteps = 100;
const tolerance = 1e-11;
const leastShare = 1e-6;

function reachedNodes(count: number, ways: readonly FlowWay[]): Uint8Array {
  const reached = new Uint8Array(count);
  for (let isNew = true; isNew; ) {
    isNew = false;
    for (const { from, to } of ways) {
      if (to === null || reached[to] === 1) {
        isNew ||= reached[from] === 0;
        reached[from] = 1;
      } else if (reached[from] === 1) {
        isNew = true;
        reached[to] = 1;
      }
    }
  }
  return reached;
}

const dropOver = ({ from, to }: FlowWay, pressures: Float64Array): number =>
  pressures[from]! - (to === null ? 0 : pressures[to]!);

/** Flow into `from`, m³/s; negative when it runs the other way. */
export function wayFlow(way: FlowWay, pressures: Float64Array): number {
  const drop = dropOver(way, pressures);
  return Math.sign(drop) * ventFlow(way.resistance, Math.abs(drop));
}

function slopeOf(way: FlowWay, pressures: Float64Array): number {
  const { linear, quadratic } = way.resistance;
  return 1 / Math.sqrt(linear * linear + 4 * quadratic * Math.abs(dropOver(way, pressures)));
}

function imbalance(demand: Float64Array, ways: readonly FlowWay[], pressures: Float64Array): Float64Array {
  const missing = demand.slice();
  for (const way of ways) {
    const flow = wayFlow(way, pressures);
    missing[way.from]! -= flow;
    if (way.to !== null) missing[way.to]! += flow;
  }
  return missing;
}

const largest = (values: Float64Array): number =>
  values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

function matrixOf(reached: Uint8Array, ways: readonly FlowWay[], slopes: readonly number[]): Float64Array[] {
  const rows = Array.from(reached, (isReached, node) => {
    const row = new Float64Array(reached.length);
    if (isReached === 0) row[node] = 1;
    return row;
  });
  ways.forEach(({ from, to }, n) => {
    rows[from]![from]! += slopes[n]!;
    if (to === null) return;
    rows[to]![to]! += slopes[n]!;
    rows[from]![to]! -= slopes[n]!;
    rows[to]![from]! -= slopes[n]!;
  });
  return rows;
}

/** Elimination without pivoting: the matrix is symmetric and positive definite. Changes `rows`. */
function solved(rows: Float64Array[], right: Float64Array): Float64Array {
  const values = right.slice();
  const count = values.length;
  for (let n = 0; n < count; n++) {
    for (let below = n + 1; below < count; below++) {
      const share = rows[below]![n]! / rows[n]![n]!;
      if (share === 0) continue;
      for (let column = n; column < count; column++) rows[below]![column]! -= share * rows[n]![column]!;
      values[below]! -= share * values[n]!;
    }
  }
  for (let n = count - 1; n >= 0; n--) {
    for (let column = n + 1; column < count; column++) values[n]! -= rows[n]![column]! * values[column]!;
    values[n]! /= rows[n]![n]!;
  }
  return values;
}
