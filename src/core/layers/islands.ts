import type { Runs } from '../rays/runs.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';
import type { ComponentFigures } from './componentFigures.ts';
import type { LayerComponents } from './layerComponents.ts';
import type { ContactColumns } from './layerSlice.ts';

/** Components that span this many rows are resolved by the lattice. */
export const RESOLVED_ROWS = 3;

/** Where solid starts on nothing, as component numbers of `layerComponents`. */
export interface IslandStarts {
  /** First component of each island (its lowest, then first), ascending. */
  readonly first: readonly number[];
  /** The component at which it became resolved: the same one, or one of a later layer. */
  readonly resolved: readonly number[];
  readonly specksLeftOut: number;
  /** Per component: 1 where it has no solid below, in layers above the first. */
  readonly starts: Uint8Array;
}

/**
 * A component of layer k > 0 that overlaps nothing of layer k − 1 starts in mid-air. Where the
 * feature is thinner than the lattice resolves (a box set down on a sharp edge, a ridge that runs
 * diagonally across the rows), its first layers fall apart into pieces; so a start counts as
 * follows:
 *
 * - A start that spans 3 rows or more is an island at once.
 * - A narrower one is pending, and so is what stands only on pending components. Pending starts
 *   that meet in a component are one, from the lowest of their first layers.
 * - When a pending component spans 3 rows, it is one island, told with its first layer.
 * - Pending starts that meet grounded solid (on the plate, or on an island already told) before
 *   that, or that end, are specks: left out and counted.
 */
export function findIslands(
  { lattice }: Pick<Runs, 'lattice'>,
  { start }: Pick<LayerComponents, 'start'>,
  contacts: Pick<ContactColumns, 'start' | 'below' | 'above'>,
  { rowSpan }: Pick<ComponentFigures, 'rowSpan'>,
): IslandStarts {
  const count = rowSpan.length;
  const starts = new Uint8Array(count);
  const grounded = new Uint8Array(count);
  // A set holds the pending components that belong together; its root is its first component.
  const pending = singletons(count);
  const told = new Uint8Array(count);
  const first: number[] = [];
  const resolved: number[] = [];
  let narrowStarts = 0;
  let narrowTold = 0;
  const startsInSet = new Uint32Array(count);

  const tell = (component: number): void => {
    const root = findRoot(pending, component);
    told[root] = 1;
    narrowTold += startsInSet[root]!;
    grounded[component] = 1;
    first.push(root);
    resolved.push(component);
  };

  for (let component = start[0]!; component < (start[1] ?? 0); component++) grounded[component] = 1;
  for (let layer = 1; layer < lattice.layers; layer++) {
    const from = start[layer]!;
    const to = start[layer + 1]!;
    starts.fill(1, from, to);
    for (let contact = contacts.start[layer]!; contact < contacts.start[layer + 1]!; contact++) {
      const below = contacts.below[contact]!;
      const above = contacts.above[contact]!;
      starts[above] = 0;
      if (grounded[below] === 1 || told[findRoot(pending, below)] === 1) grounded[above] = 1;
    }
    for (let contact = contacts.start[layer]!; contact < contacts.start[layer + 1]!; contact++) {
      const above = contacts.above[contact]!;
      if (grounded[above] === 1) continue;
      const rootBelow = findRoot(pending, contacts.below[contact]!);
      const rootAbove = findRoot(pending, above);
      if (rootBelow === rootAbove) continue;
      const joint = startsInSet[rootBelow]! + startsInSet[rootAbove]!;
      startsInSet[joinSets(pending, rootBelow, rootAbove)] = joint;
    }
    for (let component = from; component < to; component++) {
      if (grounded[component] === 1) continue;
      if (starts[component] === 1 && rowSpan[component]! < RESOLVED_ROWS) {
        startsInSet[component] = 1;
        narrowStarts++;
      }
      if (rowSpan[component]! < RESOLVED_ROWS) continue;
      if (told[findRoot(pending, component)] === 1) grounded[component] = 1;
      else tell(component);
    }
  }
  return { first, resolved, specksLeftOut: narrowStarts - narrowTold, starts };
}
