import { applyAffine, invertSimilarity } from '../core/affine.ts';
import { liquidResin } from '../core/physics/loadSetting.ts';
import { normalized, subtract } from '../core/vector.ts';
import { chamberMouths } from './chamberMouths.ts';
import type { ChamberSpace } from './chamberSpace.ts';
import type { LateDecisions } from './lateDecisions.ts';
import type { DrainSetting } from './measureDrain.ts';
import type { MeasuredOpening } from './measureOpenings.ts';

/** By chamber, what its draining depends on; null for one without openings. */
export function drainSettings(
  { blocks, toPrint }: ChamberSpace,
  measured: readonly MeasuredOpening[],
  { openings, resin, wash }: LateDecisions,
): (DrainSetting | null)[] {
  const named = measured.map(({ facts }, at) => ({
    ...facts,
    placed: facts.placed && { ...facts.placed, id: openings[at]!.id },
  }));
  const back = invertSimilarity(toPrint);
  const hanging = normalized(subtract(applyAffine(back, [0, 0, 1]), applyAffine(back, [0, 0, 0])));
  const liquid = { ...liquidResin(resin), surfaceTension: resin.surfaceTension * 1e-3 };
  return chamberMouths(named, blocks.length, toPrint).map((mouths) =>
    mouths.length === 0 ? null : { mouths, liquid, hanging, wash },
  );
}
