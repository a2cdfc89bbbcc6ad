import type { Vec3 } from '../../src/core/vector.ts';
import type { Cut } from './cut.ts';
import type { Orbit } from './orbit.ts';
import type { Show } from './partModel.ts';

/** What survives when the tab is put away: nothing that the host would send again. */
export interface SavedState {
  readonly part: string;
  readonly orbit: Orbit;
  readonly cut: Cut;
  readonly show: Show;
  readonly flag: number | null;
}

/** A state as VS Code gives it back; null when there is none or an older form of it. */
export function readSavedState(state: unknown): SavedState | null {
  if (!isRecord(state)) return null;
  const { part, orbit, cut, show, flag } = state;
  if (typeof part !== 'string' || !isOrbit(orbit) || !isCut(cut) || !isShow(show)) return null;
  return { part, orbit, cut, show, flag: typeof flag === 'number' ? flag : null };
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

function isVec3(value: unknown): value is Vec3 {
  return Array.isArray(value) && value.length === 3 && value.every(isNumber);
}

function isOrbit(value: unknown): value is Orbit {
  if (!isRecord(value) || !isVec3(value['target'])) return false;
  return ['distance', 'azimuth', 'elevation'].every((key) => isNumber(value[key]));
}

function isCut(value: unknown): value is Cut {
  if (!isRecord(value)) return false;
  if (value['by'] === 'none') return true;
  if (value['by'] === 'layer') return isNumber(value['layer']);
  return (
    ['x', 'y', 'facing'].includes(String(value['by'])) && isVec3(value['normal']) && isNumber(value['offset'])
  );
}

function isShow(value: unknown): value is Show {
  return (
    isRecord(value) &&
    ['outside', 'seeThrough', 'hollow', 'flags'].every((key) => typeof value[key] === 'boolean')
  );
}
