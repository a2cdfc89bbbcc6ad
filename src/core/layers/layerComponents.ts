import type { Interrupter } from '../interrupter.ts';
import type { Runs } from '../rays/runs.ts';
import { findRoot, joinSets } from '../unionFind.ts';

const RUNS_PER_CALL = 1 << 18;

/**
 * The connected pieces of a region within each layer. Components are numbered layer by layer, those
 * of layer k being `start[k] … start[k+1]`, in order of their first run; `component` is per run.
 */
export interface LayerComponents {
  readonly start: Uint32Array;
  readonly component: Uint32Array;
}

/** Runs of neighbouring rows join where they overlap by more than a point; a corner does not join. */
export function layerComponents({ lattice, offsets, ends }: Runs, interrupter: Interrupter): LayerComponents {
  const { rows, layers } = lattice;
  const start = new Uint32Array(layers + 1);
  const component = new Uint32Array(ends.length >> 1);
  let parent = new Uint32Array(1024);
  let number = 0;
  let sinceCall = 0;
  for (let layer = 0; layer < layers; layer++) {
    const base = layer * rows;
    const first = offsets[base]!;
    const count = offsets[base + rows]! - first;
    sinceCall += count + rows;
    if (sinceCall > RUNS_PER_CALL) {
      sinceCall = 0;
      interrupter(layer / layers);
    }
    if (count > parent.length) parent = new Uint32Array(2 * count);
    for (let run = 0; run < count; run++) parent[run] = run;
    for (let row = base + 1; row < base + rows; row++) {
      let below = offsets[row - 1]!;
      let run = offsets[row]!;
      const belowEnd = run;
      const runEnd = offsets[row + 1]!;
      while (below < belowEnd && run < runEnd) {
        const endBelow = ends[2 * below + 1]!;
        const endRun = ends[2 * run + 1]!;
        if (Math.max(ends[2 * below]!, ends[2 * run]!) < Math.min(endBelow, endRun)) {
          joinSets(parent, below - first, run - first);
        }
        if (endBelow < endRun) below++;
        else run++;
      }
    }
    for (let run = 0; run < count; run++) {
      const root = findRoot(parent, run);
      component[first + run] = root === run ? number++ : component[first + root]!;
    }
    start[layer + 1] = number;
  }
  return { start, component };
}
