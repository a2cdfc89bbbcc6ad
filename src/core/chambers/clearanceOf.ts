import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { cellLookup } from './cellLookup.ts';
import { cellMiddle } from './cellMiddle.ts';
import { aroundSteps } from './cellSteps.ts';
import type { ChamberCells } from './chamberCells.ts';

/** There and back, twice: what the first two sweeps miss behind a corner the others find. */
const SWEEPS = 4;
const NONE = 0xffffffff;
const CALL_MASK = 0xffff;

type Cells = Omit<ChamberCells, 'clearance'>;

/**
 * Distance of each cell's middle from the wall, mm: to the nearest corner of the cavity's mesh, whose
 * corners lie about a field spacing s apart, so it is too great by no more than s²/(4d) at a distance d.
 *
 * Vector distance transform (Danielsson, "Euclidean distance mapping", 1980): every cell takes over the
 * nearest corner that one of its 26 neighbours knows, in sweeps along the list and back. Now and then none
 * of them knows the nearest one; what that adds stays under a tenth of a cell and a hundredth of
 * the distance in the tests.
 */
export function clearanceOf(cells: Cells, { positions }: Mesh, interrupter: Interrupter): Float32Array {
  const { origin, spacing, size, index } = cells;
  const lookup = cellLookup(cells);
  const nearest = new Uint32Array(index.length).fill(NONE);
  const squared = new Float32Array(index.length).fill(Infinity);
  const middles = new Float32Array(3 * index.length);
  for (let place = 0; place < index.length; place++) {
    const [x, y, z] = cellMiddle(cells, place);
    middles[3 * place] = x;
    middles[3 * place + 1] = y;
    middles[3 * place + 2] = z;
  }

  const offer = (place: number, corner: number): void => {
    const dx = middles[3 * place]! - positions[3 * corner]!;
    const dy = middles[3 * place + 1]! - positions[3 * corner + 1]!;
    const dz = middles[3 * place + 2]! - positions[3 * corner + 2]!;
    const distance = dx * dx + dy * dy + dz * dz;
    if (distance >= squared[place]!) return;
    squared[place] = distance;
    nearest[place] = corner;
  };

  const [nx, ny] = size;
  for (let corner = 0; 3 * corner < positions.length; corner++) {
    const x = Math.floor((positions[3 * corner]! - origin[0]) / spacing - 0.5);
    const y = Math.floor((positions[3 * corner + 1]! - origin[1]) / spacing - 0.5);
    const z = Math.floor((positions[3 * corner + 2]! - origin[2]) / spacing - 0.5);
    for (let n = 0; n < 8; n++) {
      const place = lookup[x + (n & 1) + nx * (y + ((n >> 1) & 1) + ny * (z + (n >> 2)))] ?? -1;
      if (place >= 0) offer(place, corner);
    }
  }
  // Of a sweep only those neighbours know more than before that it has passed already.
  const steps = aroundSteps(size);
  const passed = [steps.filter((step) => step < 0), steps.filter((step) => step > 0)];
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    const ahead = passed[sweep % 2]!;
    for (let n = 0; n < index.length; n++) {
      if ((n & CALL_MASK) === 0) interrupter((sweep + n / index.length) / SWEEPS);
      const place = sweep % 2 === 0 ? n : index.length - 1 - n;
      const at = index[place]!;
      for (const step of ahead) {
        const neighbour = lookup[at + step] ?? -1;
        if (neighbour >= 0 && nearest[neighbour]! !== NONE) offer(place, nearest[neighbour]!);
      }
    }
  }
  return squared.map(Math.sqrt);
}
