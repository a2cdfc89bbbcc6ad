import type { CavityFaults } from './cavityFaults.ts';
import type { ThinPatch } from './thinPatch.ts';

/** Where the solid of a part is thin or odd, in its own frame, mm. The largest first. */
export interface TrueWall extends CavityFaults {
  /** Sheets of the sculpt itself. */
  readonly sheets: readonly ThinPatch[];
}
