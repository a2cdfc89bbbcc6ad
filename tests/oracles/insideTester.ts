import { uninterrupted } from '../../src/core/interrupter.ts';
import { layerComponents } from '../../src/core/layers/layerComponents.ts';
import { findRun } from '../../src/core/rays/findRun.ts';
import { rowIndex } from '../../src/core/rays/lattice.ts';
import type { Runs } from '../../src/core/rays/runs.ts';
import { sliceLayer } from '../../src/core/rays/sliceLayer.ts';
import { type VoidRuns, voidRuns } from '../../src/core/rays/voidRuns.ts';
import { enclosedComponents } from './enclosedComponents.ts';

/**
 * Whether the void at a point of a layer lies inside: in a chamber, or in a region enclosed by solid
 * within the layer and cut off from the plate below. Under a skirt or a bucket that opens toward the
 * plate a support reaches up.
 */
export type InsideTester = (layer: number, row: number, x: number) => boolean;

interface LayerVoid {
  readonly runs: VoidRuns;
  readonly component: Uint32Array;
  readonly enclosed: Uint8Array;
}

/** Looks up single points; the void of a layer is worked out when first asked for and kept until another layer is. */
export function insideTester(solid: Runs, cavity: Runs | null): InsideTester {
  let keptLayer = -1;
  let kept: LayerVoid | null = null;
  return (layer, row, x) => {
    if (layer < 0) return false;
    if (cavity && findRun(cavity, rowIndex(cavity.lattice, layer, row), x) >= 0) return true;
    if (kept === null || keptLayer !== layer) {
      kept = voidOfLayer(solid, layer);
      keptLayer = layer;
    }
    const run = findRun(kept.runs, row, x);
    return run >= 0 && kept.enclosed[kept.component[run]!] === 1 && !seesPlate(solid, layer, row, x);
  };
}

function seesPlate(solid: Runs, layer: number, row: number, x: number): boolean {
  for (let below = layer; below >= 0; below--) {
    if (findRun(solid, rowIndex(solid.lattice, below, row), x) >= 0) return false;
  }
  return true;
}

function voidOfLayer(solid: Runs, layer: number): LayerVoid {
  const runs = voidRuns(sliceLayer(solid, layer));
  const components = layerComponents(runs, uninterrupted);
  return { runs, component: components.component, enclosed: enclosedComponents(runs, components) };
}
