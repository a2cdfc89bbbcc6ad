import type { Cavity } from '../field/cavity.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { type CavityFaults, cavityFaults } from './cavityFaults.ts';
import type { ThinPatch } from './thinPatch.ts';
import { thinSheets } from './thinSheets.ts';

/** Where the solid of a part is thin or odd, in its own frame, mm. The largest first. */
export interface TrueWall extends CavityFaults {
  /** Sheets of the sculpt itself. */
  readonly sheets: readonly ThinPatch[];
}

/** Everything thinner than `limitMm`, and what is loose in the cavity. Both meshes in one frame, print mm. */
export function measureTrueWall(
  mesh: Mesh,
  cavity: Cavity | null,
  limitMm: number,
  interrupter: Interrupter,
): TrueWall {
  const inside = portion(interrupter, 0.6, 1);
  const faults =
    cavity === null
      ? { webs: [], spikes: [], loose: [] }
      : cavityFaults(cavity.mesh, cavity.facetChamber, cavity.spacingMm, limitMm, inside);
  return { sheets: thinSheets(mesh, limitMm, portion(interrupter, 0, 0.6)), ...faults };
}
