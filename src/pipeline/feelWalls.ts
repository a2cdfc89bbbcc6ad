import type { Cavity } from '../core/field/cavity.ts';
import type { Interrupter } from '../core/interrupter.ts';
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

/** What is thin or odd in a part's hollow, and its walls in pieces, felt side by side; no sheets, which are the sculpt's. */
export async function feelWalls(
  cavity: Cavity,
  wallMm: number | null,
  limitMm: number,
  hands: Hands,
  interrupter: Interrupter,
  needed: Promise<void>,
): Promise<FeltWalls> {
  const { mesh, facetChamber, spacingMm } = cavity;
  const work: WallWork[] = [{ kind: 'cavity', cavity: { mesh, facetChamber, spacingMm }, limitMm }];
  if (wallMm !== null && cavity.chambers.length > 0)
    work.unshift({ kind: 'panels', cavity: { mesh, facetChamber }, wallMm });
  const felt = await hands.share('feelWall', work, interrupter, needed);
  return Object.assign({}, noWalls, ...felt);
}
