import type { CupVent } from './cupVents.ts';
import type { FlowWay } from './flowNetwork.ts';
import type { LobeFlow } from './lobeFlow.ts';
import type { FilmFeed } from './localSqueeze.ts';

/** The squeeze of one state of a limb: N for 1 Pa·s and 1 m/s, and how its mouths share the film. */
export interface StateSqueeze {
  readonly perSpeed: number;
  readonly feed: FilmFeed | null;
}

/**
 * What flows from the outside through the vents to the film of a limb of `area` m² that several mouths feed,
 * and through the film between them: each mouth has its own pressure, so that a narrow hole far away does not
 * count as if it could bring what the floor there asks for. Null where all mouths are as good as one.
 */
export function mouthFlow(
  area: number,
  { perSpeed, feed }: StateSqueeze,
  vents: readonly CupVent[],
  viscosity: number,
): LobeFlow | null {
  if (feed === null || feed.share.length < 2) return null;
  const { mouthOf, share, exchange } = feed;
  const ways: FlowWay[] = [];
  for (const { opening, resistance } of vents) {
    const mouth = opening === null ? undefined : mouthOf.get(opening);
    if (mouth !== undefined) ways.push({ from: mouth, to: null, resistance });
  }
  const mouths = share.length;
  for (let from = 0; from < mouths; from++) {
    for (let to = from + 1; to < mouths; to++) {
      const flow = (exchange[from * mouths + to]! * area * area) / (perSpeed * viscosity);
      if (flow > 0) ways.push({ from, to, resistance: { linear: 1 / flow, quadratic: 0 } });
    }
  }
  return { areas: share.map((part) => part * area), ways };
}
