import type { Vec3 } from '../../src/core/vector.ts';
import type { Orbit } from '../../src/protocol/look.ts';
import type { Cut } from './cut.ts';
import type { Show } from './partModel.ts';

/** What survives when the tab is put away: nothing that the host would send again. */
export interface SavedState {
  readonly part: string;
  /** Null where nothing could be drawn. */
  readonly orbit: Orbit | null;
  readonly cut: Cut;
  readonly show: Show;
  readonly flag: number | null;
}

/** A state as VS Code gives it back; null when there is none or an older form of it. */
export function readSavedState(state: unknown): SavedState | null {
  if (!isRecord<keyof SavedState>(state)) return null;
  const { part, orbit, cut, show, flag } = state;
  if (typeof part !== 'string' || !(orbit === null || isOrbit(orbit)) || !isCut(cut) || !isShow(show))
    return null;
  return { part, orbit, cut, show, flag: typeof flag === 'number' ? flag : null };
}

function isRecord<K extends string>(value: unknown): value is Record<K, unknown> {
  return typeof value === 'object' && value !== null;
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

function isVec3(value: unknown): value is Vec3 {
  return Array.isArray(value) && value.length === 3 && value.every(isNumber);
}

export function isOrbit(value: unknown): value is Orbit {
  if (!isRecord<keyof Orbit>(value)) return false;
  const { target, distance, azimuth, elevation } = value;
  return isVec3(target) && [distance, azimuth, elevation].every(isNumber);
}

function isCut(value: unknown): value is Cut {
  if (!isRecord<'by' | 'layer' | 'normal' | 'offset'>(value)) return false;
  const { by, layer, normal, offset } = value;
  if (by === 'none') return true;
  if (by === 'layer') return isNumber(layer);
  return (by === 'x' || by === 'y' || by === 'facing') && isVec3(normal) && isNumber(offset);
}

function isShow(value: unknown): value is Show {
  if (!isRecord<keyof Show>(value)) return false;
  const { outside, seeThrough, hollow, supports, flags } = value;
  return [outside, seeThrough, hollow, supports, flags].every((shown) => typeof shown === 'boolean');
}
