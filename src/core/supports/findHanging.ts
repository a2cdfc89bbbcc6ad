import type { Interrupter } from '../interrupter.ts';
import { growableFloats } from '../layers/growable.ts';
import { intervalSets, labelIntervals, layerIntervals } from '../layers/labelIntervals.ts';
import { overhangOfRow, rowWidths, selfSupportReach } from '../layers/overhangs.ts';
import { findRun } from '../rays/findRun.ts';
import { type LayerRows, type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import type { HangingRuns } from './hangingRuns.ts';
import type { PartGrowth } from './partGrowth.ts';
import { pieceOfRun } from './pieceSweep.ts';
import type { SupportedSolid } from './supportedSolid.ts';

/** A sliver of overhang that no neighbouring row has too is the lattice's own, unless it is this long, mm. */
const SURE_RUN_MM = 0.5;
const LAYERS_PER_CALL = 16;

/** What of a part hangs over, where surface carries itself from `selfSupportDeg` from the plate on; none at 0°. */
export function findHanging(
  { solid, xLow, xHigh }: SupportedSolid,
  { pieceOffsets, pieceBody }: Pick<PartGrowth, 'pieceOffsets' | 'pieceBody'>,
  selfSupportDeg: number,
  interrupter: Interrupter,
): HangingRuns {
  const { lattice } = solid;
  const sets = intervalSets();
  const labels = layerIntervals();
  const found = { offsets: [0], row: [] as number[], ends: [] as number[], body: [] as number[] };
  const runsOf = overhangFinder(solid, selfSupportDeg);
  for (let layer = 0; layer < lattice.layers; layer++) {
    if (layer % LAYERS_PER_CALL === 0) interrupter(layer / lattice.layers);
    const here = rowsOfLayer(solid, layer);
    const runs = layer === 0 ? [] : runsOf(here, rowsOfLayer(solid, layer - 1));
    if (runs.length > 0) labelIntervals(here, lattice.rows, xLow, xHigh, sets, labels);
    for (const { row, low, high } of runs) {
      const run = findRun(here, here.base + row, (low + high) / 2);
      found.row.push(row);
      found.ends.push(low, high);
      found.body.push(pieceBody[pieceOffsets[layer]! + pieceOfRun(here, labels, row, run)]!);
    }
    found.offsets.push(found.row.length);
  }
  return {
    offsets: Uint32Array.from(found.offsets),
    row: Uint32Array.from(found.row),
    ends: Float64Array.from(found.ends),
    body: Uint32Array.from(found.body),
  };
}

/** A run of overhang. */
interface HangingRun {
  readonly row: number;
  readonly low: number;
  readonly high: number;
}

/** Of one layer over the one below. */
function overhangFinder({ lattice }: RunsByLayer, selfSupportDeg: number) {
  const reach = selfSupportReach(lattice.dz, selfSupportDeg);
  const widths = Number.isFinite(reach) ? rowWidths(reach, lattice.dy, lattice.rows) : null;
  const runs = growableFloats();
  const carried = growableFloats();
  return (here: LayerRows, below: LayerRows): HangingRun[] => {
    if (widths === null) return [];
    const found: HangingRun[][] = [];
    for (let row = 0; row < lattice.rows; row++) {
      runs.length = 0;
      overhangOfRow(here, below, lattice.rows, row, widths, carried, runs);
      if (runs.length > 0) found[row] = hangingRuns(row, runs.values, runs.length);
    }
    return found.flatMap((own, row) =>
      own.filter(
        (run) =>
          run.high - run.low >= SURE_RUN_MM || isBeside(run, found[row - 1]) || isBeside(run, found[row + 1]),
      ),
    );
  };
}

function hangingRuns(row: number, ends: Float32Array, length: number): HangingRun[] {
  const runs: HangingRun[] = [];
  for (let i = 0; i < length; i += 2) runs.push({ row, low: ends[i]!, high: ends[i + 1]! });
  return runs;
}

const isBeside = ({ low, high }: HangingRun, others: readonly HangingRun[] = []): boolean =>
  others.some((other) => other.low < high && low < other.high);
