import { type Affine, applyAffine, invertSimilarity } from '../affine.ts';
import type { Interrupter } from '../interrupter.ts';
import { limbsOf } from '../layers/limbs.ts';
import { addToPair, clearPairs, createPairSums } from '../layers/pairSums.ts';
import { regionsAt } from '../layers/regionsAt.ts';
import type { LabelledVoid, VoidGraph } from '../layers/voidGraph.ts';
import { layerZ } from '../rays/lattice.ts';
import { normalized, type Vec3 } from '../vector.ts';
import { cellLookup } from './cellLookup.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { ChamberNetwork, Neck } from './chamberNetwork.ts';
import type { LimbLobes, PrintNeck } from './limbLobes.ts';

/** Points looked at stand this many cells apart in every direction. */
const STEP_CELLS = 2;

/** The lobes of every limb of a posed part; `toPrint` leads from the frame of the cells to the print frame. */
export function limbLobesOf(
  cells: ChamberCells,
  network: ChamberNetwork,
  graph: VoidGraph,
  labels: LabelledVoid,
  toPrint: Affine,
  interrupter: Interrupter,
): LimbLobes {
  const { lattice } = labels.solid;
  const { fromPlate } = limbsOf(graph);
  const step = STEP_CELLS * cells.spacing;
  const [from, to] = layersOf(cells, toPrint, lattice.z0, lattice.dz, graph.layers);
  const apart = Math.max(1, Math.round(step / lattice.dz));
  const layers: number[] = [];
  const start = [0];
  const limbs: number[] = [];
  const lobes: number[] = [];
  const areas: number[] = [];
  const sums = createPairSums();
  const look = lobesInPlane(cells, network, toPrint, step);
  for (let layer = from; layer < to; layer += apart) {
    interrupter((layer - from) / (to - from));
    const { points, lobe } = look(layerZ(lattice, layer));
    const regions = regionsAt(points, labels);
    clearPairs(sums);
    for (let n = 0; n < points.length; n++) {
      const region = regions[n]!;
      if (region >= 0 && graph.enclosed[region] === 1)
        addToPair(sums, fromPlate[region]!, lobe[n]!, step * step);
    }
    layers.push(layer);
    for (let n = 0; n < sums.count; n++) {
      limbs.push(sums.first[n]!);
      lobes.push(sums.second[n]!);
      areas.push(sums.sum[n]!);
    }
    start.push(limbs.length);
  }
  return {
    layer: Uint32Array.from(layers),
    start: Uint32Array.from(start),
    limb: Uint32Array.from(limbs),
    lobe: Uint16Array.from(lobes),
    areaMm2: Float64Array.from(areas),
    necks: network.necks.map((neck) => inPrint(neck, toPrint)),
  };
}

/** Corners of the box of the cells in the print frame. */
function cornersOf({ origin, spacing, size }: ChamberCells, toPrint: Affine): Vec3[] {
  return Array.from({ length: 8 }, (_, n) =>
    applyAffine(
      toPrint,
      origin.map((low, axis) => low + ((n >> axis) & 1) * size[axis]! * spacing) as unknown as Vec3,
    ),
  );
}

function layersOf(
  cells: ChamberCells,
  toPrint: Affine,
  z0: number,
  dz: number,
  layers: number,
): [number, number] {
  const heights = cornersOf(cells, toPrint).map(([, , z]) => (z - z0) / dz);
  return [Math.max(0, Math.floor(Math.min(...heights))), Math.min(layers, Math.ceil(Math.max(...heights)))];
}

/** The points of a level plane, `step` apart, that lie in a lobe. */
function lobesInPlane(
  cells: ChamberCells,
  { lobeOf }: ChamberNetwork,
  toPrint: Affine,
  step: number,
): (z: number) => { points: Vec3[]; lobe: number[] } {
  const { origin, spacing, size } = cells;
  const lookup = cellLookup(cells);
  const toCells = invertSimilarity(toPrint);
  const corners = cornersOf(cells, toPrint);
  const [low, high] = [Math.min, Math.max].map((end) =>
    [0, 1].map((axis) => end(...corners.map((corner) => corner[axis]!))),
  ) as [number[], number[]];
  return (z) => {
    const points: Vec3[] = [];
    const lobe: number[] = [];
    for (let y = low[1]! + step / 2; y < high[1]!; y += step) {
      for (let x = low[0]! + step / 2; x < high[0]!; x += step) {
        const at = applyAffine(toCells, [x, y, z]);
        const [i, j, k] = at.map((value, axis) => Math.floor((value - origin[axis]!) / spacing)) as [
          number,
          number,
          number,
        ];
        if (i < 0 || j < 0 || k < 0 || i >= size[0] || j >= size[1] || k >= size[2]) continue;
        const place = lookup[i + size[0] * (j + size[1] * k)]!;
        if (place < 0) continue;
        points.push([x, y, z]);
        lobe.push(lobeOf[place]!);
      }
    }
    return { points, lobe };
  };
}

function inPrint(neck: Neck, toPrint: Affine): PrintNeck {
  const { a, b, at, direction, areaMm2, hydraulicMm, lengthMm, ends } = neck;
  const turned = applyAffine({ linear: toPrint.linear, shift: [0, 0, 0] }, direction);
  return {
    a,
    b,
    at: applyAffine(toPrint, at),
    direction: normalized(turned),
    areaMm2,
    hydraulicMm,
    lengthMm,
    ends: [applyAffine(toPrint, ends[0]), applyAffine(toPrint, ends[1])],
  };
}
