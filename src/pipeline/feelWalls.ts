import type { Cavity } from '../core/field/cavity.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { TrueWall } from '../core/walls/trueWall.ts';
import type { WallPanel } from '../core/walls/wallPanel.ts';
import type { Hands } from './hands.ts';
import type { WallWork } from './sharedTasks.ts';

/** Source axes at finished size, print mm. */
export interface FeltWalls extends TrueWall {
  /** The weakest walls of the hollows. */
  readonly panels: readonly WallPanel[];
}

export const noWalls: FeltWalls = { sheets: [], webs: [], spikes: [], loose: [], panels: [] };

/** What is thin or odd in a part's solid, and the walls of its hollows in pieces, felt side by side. */
export async function feelWalls(
  mesh: Mesh,
  factor: number,
  cavity: Cavity | null,
  wallMm: number | null,
  limitMm: number,
  hands: Hands,
  interrupter: Interrupter,
): Promise<FeltWalls> {
  const work: WallWork[] = [{ kind: 'sheets', mesh, factor, limitMm }];
  if (cavity !== null) {
    const { mesh: inner, facetChamber, spacingMm } = cavity;
    if (wallMm !== null && cavity.chambers.length > 0)
      work.unshift({ kind: 'panels', cavity: { mesh: inner, facetChamber }, wallMm });
    work.push({ kind: 'cavity', cavity: { mesh: inner, facetChamber, spacingMm }, limitMm });
  }
  const felt = await hands.share('feelWall', work, interrupter);
  return Object.assign({}, noWalls, ...felt);
}
