import type { Cavity } from '../core/field/cavity.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { TrueWall } from '../core/walls/trueWall.ts';
import type { Hands } from './hands.ts';
import type { WallWork } from './sharedTasks.ts';

const nothing: TrueWall = { sheets: [], webs: [], spikes: [], loose: [] };

/** What is thin or odd in a part's solid, outside and inside felt side by side. Source axes, print mm. */
export async function feelWalls(
  mesh: Mesh,
  factor: number,
  cavity: Cavity | null,
  limitMm: number,
  hands: Hands,
  interrupter: Interrupter,
): Promise<TrueWall> {
  const work: WallWork[] = [{ kind: 'sheets', mesh, factor, limitMm }];
  if (cavity !== null) {
    const { mesh: inner, facetChamber, spacingMm } = cavity;
    work.push({ kind: 'cavity', cavity: { mesh: inner, facetChamber, spacingMm }, limitMm });
  }
  const felt = await hands.share('feelWall', work, interrupter);
  return Object.assign({}, nothing, ...felt);
}
