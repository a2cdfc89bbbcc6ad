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
  for (let place = 0; place < index.length; place++) middles.set(cellMiddle(cells, place), 3 * place);

  const offer = (place: number, corner: number): void => {
    const dx = middles[3 * place]! - positions[3 * corner]!;
    const dy = middles[3 * place + 1]! - positions[3 * corner + 1]!;
    const dz = middles[3 * place + 2]! - positions[3 * corner + 2]!;
    const distance = dx * dx + dy * dy + dz * dz;
    if (distance >= squared[place]!) return;
    squared[place] = distance;
    nearest[place] = corner;
  };

  for (let corner = 0; 3 * corner < positions.length; corner++) {
    const first = [0, 1, 2].map((axis) =>
      Math.floor((positions[3 * corner + axis]! - origin[axis]!) / spacing - 0.5),
    ) as [number, number, number];
    for (let n = 0; n < 8; n++) {
      const x = first[0] + (n & 1);
      const y = first[1] + ((n >> 1) & 1);
      const z = first[2] + (n >> 2);
      const place = lookup[x + size[0] * (y + size[1] * z)] ?? -1;
      if (place >= 0) offer(place, corner);
    }
  }
  const steps = aroundSteps(size);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (let n = 0; n < index.length; n++) {
      if ((n & CALL_MASK) === 0) interrupter((sweep + n / index.length) / SWEEPS);
      const place = sweep % 2 === 0 ? n : index.length - 1 - n;
      for (const step of steps) {
        const neighbour = lookup[index[place]! + step] ?? -1;
        if (neighbour >= 0 && nearest[neighbour]! !== NONE) offer(place, nearest[neighbour]!);
      }
    }
  }
  return squared.map(Math.sqrt);
}
