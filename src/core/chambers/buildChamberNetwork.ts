import { type Interrupter, portion } from '../interrupter.ts';
import { cellMiddle } from './cellMiddle.ts';
import type { ChamberCells } from './chamberCells.ts';
import type { ChamberNetwork, Lobe } from './chamberNetwork.ts';
import { findLobes } from './findLobes.ts';
import { findNecks } from './findNecks.ts';
import { looseNecks } from './looseNecks.ts';

/** The lobes and necks of chambers (`findLobes`, `findNecks`, `looseNecks`). */
export function buildChamberNetwork(cells: ChamberCells, interrupter: Interrupter): ChamberNetwork {
  const { lobeOf, count } = findLobes(cells, portion(interrupter, 0, 0.8));
  const lobes = lobesOf(cells, lobeOf, count);
  const necks = findNecks(cells, lobeOf);
  return { lobes, necks: [...necks, ...looseNecks(cells, lobeOf, lobes, necks)], lobeOf };
}

function lobesOf(cells: ChamberCells, lobeOf: Uint16Array, count: number): Lobe[] {
  const { chamber, clearance, spacing } = cells;
  const size = new Uint32Array(count);
  const deepest = new Int32Array(count).fill(-1);
  for (let place = 0; place < lobeOf.length; place++) {
    const lobe = lobeOf[place]!;
    size[lobe]!++;
    if (deepest[lobe]! < 0 || clearance[place]! > clearance[deepest[lobe]!]!) deepest[lobe] = place;
  }
  return Array.from(size, (cellCount, lobe) => ({
    chamber: chamber[deepest[lobe]!]!,
    volumeMm3: cellCount * spacing ** 3,
    deepest: cellMiddle(cells, deepest[lobe]!),
    radiusMm: clearance[deepest[lobe]!]!,
  }));
}
