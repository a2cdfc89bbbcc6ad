import { portion } from '../core/interrupter.ts';
import { cutByLayer } from '../core/layers/cutByLayer.ts';
import { withCutLayers } from '../core/layers/withCutLayers.ts';
import type { PlacedOpening } from '../core/openings/opening.ts';
import { type Result, success } from '../core/result.ts';
import { fillColumns } from '../core/supports/fillColumns.ts';
import { findHanging } from '../core/supports/findHanging.ts';
import { footRadius, raftLip } from '../core/supports/foot.ts';
import { growPart } from '../core/supports/growPart.ts';
import {
  type HoldingWay,
  type StandingStill,
  type SupportGround,
  type SupportInput,
  seekWays,
  strutRoom,
} from '../core/supports/planSupports.ts';
import type { AskedSupports } from './lateDecisions.ts';
import type { LayeredPart } from './measureLayered.ts';
import { stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';
import type { StageStore } from './stageStore.ts';

/** What supports are planned on, and what of that depends on the way of holding. */
export interface SupportStages {
  readonly ground: SupportGround;
  standing(way: HoldingWay, input: SupportInput): Promise<Result<StandingStill>>;
}

/**
 * All that stands still while supports are tried, in the engine's memory: the layers that openings have cut, how the
 * part grows, the columns that struts pass, what hangs over, the ways of struts that were found. `layersKey` names the layers of the part.
 */
export async function supportStages(
  part: LayeredPart,
  placed: readonly PlacedOpening[],
  { decision, leastMm2 }: AskedSupports,
  layersKey: string,
  store: StageStore,
  context: StageContext,
): Promise<Result<SupportStages>> {
  const whole = context.stage('planning supports');
  const opened = stageKey('opened', [layersKey, placed]);
  const cut = await store.get('opened', opened, 'memory', () => success(cutByLayer(part.solid, placed)));
  if (!cut.ok) return cut;
  const supported = { ...part, solid: withCutLayers(part.solid, cut.value) };
  const grown = stageKey('grown', [opened, leastMm2]);
  const growth = await store.get('grown', grown, 'memory', () =>
    success(growPart(supported, leastMm2, portion(whole, 0, 0.2))),
  );
  if (!growth.ok) return growth;
  const foot = { heightMm: decision.raft, radiusMm: footRadius(0, decision) + raftLip(decision) };
  const room = strutRoom(decision.strut, foot);
  const columnsKey = stageKey('strut-columns', [opened, room]);
  const columns = await store.get('strut-columns', columnsKey, 'memory', () =>
    success(fillColumns(supported.solid, part.xLow, part.xHigh, room, portion(whole, 0.2, 0.3))),
  );
  if (!columns.ok) return columns;
  const ground = { part: supported, growth: growth.value, columns: columns.value };
  return success({
    ground,
    async standing({ heldSlopeDeg, spacingMm }, { halfPlate, raftMm, setting: { tipMm } }) {
      const hangingKey = stageKey('hanging', [grown, heldSlopeDeg]);
      const hanging = await store.get('hanging', hangingKey, 'memory', () =>
        success(findHanging(supported, growth.value, heldSlopeDeg, portion(whole, 0.3, 0.4))),
      );
      if (!hanging.ok) return hanging;
      const chosen = { tipMm, spacingMm };
      const waysKey = stageKey('strut-ways', [hangingKey, columnsKey, halfPlate, raftMm, chosen]);
      const ways = await store.get('strut-ways', waysKey, 'memory', () =>
        success(seekWays(ground, hanging.value, { halfPlate, raftMm }, chosen, portion(whole, 0.4, 0.5))),
      );
      return ways.ok ? success({ hanging: hanging.value, ways: ways.value }) : ways;
    },
  });
}
