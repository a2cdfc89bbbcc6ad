import type { Orbit } from '../../src/protocol/look.ts';
import { isOrbit } from '../turntable/savedState.ts';
import type { ColourBy } from './colouring.ts';

/** What survives when the tab is put away: nothing that the host would send again. */
export interface SavedKitState {
  /** Null where nothing could be drawn. */
  readonly orbit: Orbit | null;
  readonly by: ColourBy;
  readonly apartMm: number;
  readonly names: boolean;
}

/** A state as VS Code gives it back; null when there is none or an older form of it. */
export function readSavedKitState(state: unknown): SavedKitState | null {
  if (typeof state !== 'object' || state === null) return null;
  const { orbit, by, apartMm, names } = state as Partial<Record<keyof SavedKitState, unknown>>;
  if (!(orbit === null || isOrbit(orbit)) || (by !== 'state' && by !== 'resin')) return null;
  if (typeof apartMm !== 'number' || !(apartMm >= 0) || typeof names !== 'boolean') return null;
  return { orbit, by, apartMm, names };
}
