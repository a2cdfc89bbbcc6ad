import type { Exposure, Lift } from '../kit/manifest.ts';

/**
 * Seconds to print `layers` layers: every layer its exposure and one motion up and down in one or two
 * stages, waits included. Speeds in mm/min as in the manifest.
 *
 * Source: arithmetic. Acceleration is not counted, so a real print takes a little longer.
 */
export function printTime(layers: number, lift: Lift, exposure: Exposure): number {
  const base = Math.min(layers, exposure.baseLayers);
  return base * exposure.base + (layers - base) * exposure.normal + layers * motionTime(lift);
}

function motionTime(lift: Lift): number {
  const minutes = stageTime(lift) + (lift.second === null ? 0 : stageTime(lift.second));
  return minutes * 60 + lift.wait;
}

function stageTime(stage: Pick<Lift, 'distance' | 'up' | 'down'>): number {
  return stage.distance / stage.up + stage.distance / stage.down;
}
