import type { Interrupter } from '../src/core/interrupter.ts';
import { fillColumns } from '../src/core/supports/fillColumns.ts';
import { findHanging } from '../src/core/supports/findHanging.ts';
import { growPart } from '../src/core/supports/growPart.ts';
import { planSupports, type SupportInput, seekWays, strutRoom } from '../src/core/supports/planSupports.ts';
import type { SupportedSolid } from '../src/core/supports/supportedSolid.ts';
import type { SupportPlan } from '../src/core/supports/supportPlan.ts';

/** A plan with nothing kept, as the stages of a part make it one after the other. */
export function plannedAtOnce(
  part: SupportedSolid,
  input: SupportInput,
  footRadiusMm: number,
  interrupter: Interrupter,
  /** With ways of struts sought beforehand. */
  known = false,
): SupportPlan {
  const { setting, raftMm } = input;
  const growth = growPart(part, setting.leastMm2, interrupter);
  const room = strutRoom(setting.strutMm, { heightMm: raftMm, radiusMm: footRadiusMm });
  const columns = fillColumns(part.solid, part.xLow, part.xHigh, room, interrupter);
  const ground = { part, growth, columns };
  const planning = planSupports(ground, input, interrupter);
  let next = planning.next();
  while (!next.done) {
    const hanging = findHanging(part, growth, next.value.heldSlopeDeg, interrupter);
    const setting = { ...input.setting, spacingMm: next.value.spacingMm };
    const ways = known ? seekWays(ground, hanging, input, setting, interrupter) : null;
    next = planning.next({ hanging, ways });
  }
  return next.value;
}
