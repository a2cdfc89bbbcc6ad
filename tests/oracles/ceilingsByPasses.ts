import type { ComponentFigures } from '../../src/core/layers/componentFigures.ts';
import { largestDisc } from '../../src/core/layers/largestDisc.ts';
import type { LayerComponents } from '../../src/core/layers/layerComponents.ts';
import type { Ceiling } from '../../src/core/layers/layerFigures.ts';
import type { CellMap } from '../../src/core/layers/squaredDistances.ts';
import type { Runs } from '../../src/core/rays/runs.ts';
import { findRoot, joinSets, singletons } from '../../src/core/unionFind.ts';
import type { InsideTester } from './insideTester.ts';

/** Cells along the longer side of a ceiling's map; keeps a plate-wide roof within a few milliseconds. */
const MOST_CELLS = 512;

interface Candidate extends Ceiling {
  readonly component: number;
}

/**
 * Overhanging regions of one layer whose area and span are both above their limits, islands left
 * out (they hang on nothing and are told as islands). The span is the largest disc in the region,
 * measured on cells of one row spacing (coarser where the region is over 512 of them wide), so right
 * to about a cell. Regions of consecutive layers that lie within the self-supporting reach and a row
 * of each other are one ceiling that spreads: it is told once, at the layer of its widest span.
 *
 * `overhang` is what `overhangRuns` gave for `solid`; `startsOnNothing` tells whether the solid at
 * that layer, row and x belongs to a component with no solid below it.
 */
export function findCeilings(
  overhang: Runs,
  components: LayerComponents,
  figures: ComponentFigures,
  limits: { readonly ceilingMm2: number; readonly ceilingSpanMm: number; readonly reach: number },
  startsOnNothing: InsideTester,
  isInside: InsideTester,
): Ceiling[] {
  const candidates: Candidate[] = [];
  const { layers, z0, dz } = overhang.lattice;
  for (let layer = 1; layer < layers; layer++) {
    for (let c = components.start[layer]!; c < components.start[layer + 1]!; c++) {
      const areaMm2 = figures.area[c]!;
      if (areaMm2 <= limits.ceilingMm2 || spanBound(figures, overhang, c) <= limits.ceilingSpanMm) continue;
      const disc = discOfComponent(overhang, components, layer, c);
      if (disc.spanMm <= limits.ceilingSpanMm || startsOnNothing(layer, disc.row, disc.x)) continue;
      const at = [
        disc.x,
        overhang.lattice.y0 + (disc.row + 0.5) * overhang.lattice.dy,
        z0 + layer * dz,
      ] as const;
      const inside = isInside(layer - 1, disc.row, disc.x);
      candidates.push({ component: c, layer, areaMm2, spanMm: disc.spanMm, at, inside });
    }
  }
  return worstOfEach(candidates, overhang, components, limits.reach);
}

/** No disc in a region is wider than its rows or than the disc of its area. */
function spanBound({ area, rowSpan }: ComponentFigures, { lattice }: Runs, c: number): number {
  return Math.min((rowSpan[c]! + 1) * lattice.dy, 2 * Math.sqrt(area[c]! / Math.PI) + lattice.dy);
}

interface Extent {
  firstRow: number;
  lastRow: number;
  xLow: number;
  xHigh: number;
}

function extentOf(runs: Runs, { component }: LayerComponents, layer: number, c: number): Extent {
  const { rows } = runs.lattice;
  const extent: Extent = {
    firstRow: rows,
    lastRow: -1,
    xLow: Number.POSITIVE_INFINITY,
    xHigh: Number.NEGATIVE_INFINITY,
  };
  for (let row = 0; row < rows; row++) {
    for (let run = runs.offsets[layer * rows + row]!; run < runs.offsets[layer * rows + row + 1]!; run++) {
      if (component[run] !== c) continue;
      extent.firstRow = Math.min(extent.firstRow, row);
      extent.lastRow = row;
      extent.xLow = Math.min(extent.xLow, runs.ends[2 * run]!);
      extent.xHigh = Math.max(extent.xHigh, runs.ends[2 * run + 1]!);
    }
  }
  return extent;
}

function discOfComponent(
  runs: Runs,
  components: LayerComponents,
  layer: number,
  c: number,
): { row: number; x: number; spanMm: number } {
  const { rows, dy } = runs.lattice;
  const extent = extentOf(runs, components, layer, c);
  const rowCount = extent.lastRow - extent.firstRow + 1;
  const rowsPerCell = Math.max(
    1,
    Math.ceil(Math.max(rowCount, (extent.xHigh - extent.xLow) / dy) / MOST_CELLS),
  );
  const cell = rowsPerCell * dy;
  const width = Math.max(1, Math.ceil((extent.xHigh - extent.xLow) / cell));
  const height = Math.ceil(rowCount / rowsPerCell);
  const map: CellMap = { width, height, cells: new Uint8Array(width * height) };
  for (let line = 0; line < height; line++) {
    const row = Math.min(extent.lastRow, extent.firstRow + line * rowsPerCell + (rowsPerCell >> 1));
    for (let run = runs.offsets[layer * rows + row]!; run < runs.offsets[layer * rows + row + 1]!; run++) {
      if (components.component[run] !== c) continue;
      const from = Math.ceil((runs.ends[2 * run]! - extent.xLow) / cell - 0.5);
      const to = Math.ceil((runs.ends[2 * run + 1]! - extent.xLow) / cell - 0.5);
      map.cells.fill(1, line * width + Math.max(0, from), line * width + Math.min(width, to));
    }
  }
  const disc = largestDisc(map);
  return {
    row: Math.min(extent.lastRow, extent.firstRow + disc.row * rowsPerCell + (rowsPerCell >> 1)),
    x: extent.xLow + (disc.column + 0.5) * cell,
    spanMm: disc.diameter * cell,
  };
}

function worstOfEach(
  candidates: readonly Candidate[],
  overhang: Runs,
  components: LayerComponents,
  reach: number,
): Ceiling[] {
  const group = singletons(candidates.length);
  for (let i = 0; i < candidates.length; i++) {
    for (let j = i - 1; j >= 0 && candidates[j]!.layer >= candidates[i]!.layer - 1; j--) {
      if (candidates[j]!.layer === candidates[i]!.layer) continue;
      if (areNeighbours(candidates[j]!, candidates[i]!, overhang, components, reach)) joinSets(group, i, j);
    }
  }
  const worst = new Map<number, Candidate>();
  candidates.forEach((candidate, i) => {
    const root = findRoot(group, i);
    const known = worst.get(root);
    if (known === undefined || isWorse(candidate, known)) worst.set(root, candidate);
  });
  return [...worst.values()]
    .sort((a, b) => a.layer - b.layer || a.component - b.component)
    .map(({ component: _, ...ceiling }) => ceiling);
}

const isWorse = (a: Ceiling, b: Ceiling): boolean =>
  a.spanMm !== b.spanMm ? a.spanMm > b.spanMm : a.areaMm2 > b.areaMm2;

/** Whether two overhanging components of consecutive layers lie within the reach and a row of each other. */
function areNeighbours(
  low: Candidate,
  high: Candidate,
  { lattice, offsets, ends }: Runs,
  { component }: LayerComponents,
  reach: number,
): boolean {
  const { rows, dy } = lattice;
  const margin = reach + dy;
  const rowReach = Math.ceil(margin / dy);
  for (let row = 0; row < rows; row++) {
    const base = high.layer * rows + row;
    for (let run = offsets[base]!; run < offsets[base + 1]!; run++) {
      if (component[run] !== high.component) continue;
      for (let near = Math.max(0, row - rowReach); near <= Math.min(rows - 1, row + rowReach); near++) {
        const other = low.layer * rows + near;
        for (let lowRun = offsets[other]!; lowRun < offsets[other + 1]!; lowRun++) {
          if (component[lowRun] !== low.component) continue;
          if (
            ends[2 * lowRun]! - margin <= ends[2 * run + 1]! &&
            ends[2 * lowRun + 1]! + margin >= ends[2 * run]!
          ) {
            return true;
          }
        }
      }
    }
  }
  return false;
}
