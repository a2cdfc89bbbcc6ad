import type { Film, Lift, Resin } from '../kit/manifest.ts';
import { roundTo } from '../kit/rounding.ts';
import { openingName } from '../kit/rules/figures.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';

/** What of a part is decided and might be decided otherwise. */
export interface Decisions {
  readonly openings: readonly OpeningDecision[];
  readonly lift: Lift;
  readonly film: Film;
  readonly viscosity: Resin['viscosity'];
  /** mm; null = solid. */
  readonly wall: number | null;
  readonly turn: Vec3;
}

/** One decision taken otherwise, to see what it does. */
export interface TriedChange {
  /** A phrase, as `vent 0 of 13.5 mm instead of 9 mm`. */
  readonly what: string;
  readonly decisions: Partial<Decisions>;
  /** True when the part must be hollowed or cut into layers anew for it. */
  readonly anew: boolean;
}

const WIDER = 1.5;
const THICKER_MM = 0.5;
const TILT_DEG = 15;
const mostOpenings = 12;

/** The changes that are worth a look at a part: small steps that a builder could take, one at a time. */
export function triedChanges(decisions: Decisions): TriedChange[] {
  const { lift, film, viscosity, wall, turn } = decisions;
  const late = (what: string, changed: Partial<Decisions>): TriedChange => ({
    what,
    decisions: changed,
    anew: false,
  });
  return [
    ...decisions.openings.slice(0, mostOpenings).map((opening) => wider(opening, decisions.openings)),
    slower(lift),
    late(`resin of ${viscosity / 2} mPa·s instead of ${viscosity}, as when it is warmer`, {
      viscosity: viscosity / 2,
    }),
    late(`a film that peels at ${film.peel / 2} kPa instead of ${film.peel}`, {
      film: { peel: film.peel / 2 },
    }),
    late(`a film that peels at ${film.peel * 2} kPa instead of ${film.peel}`, {
      film: { peel: film.peel * 2 },
    }),
    ...(wall === null ? [] : [thicker(wall)]),
    ...[0, 1].map((axis) => tilted(turn, axis)),
  ];
}

function wider(opening: OpeningDecision, all: readonly OpeningDecision[]): TriedChange {
  const diameter = roundTo(opening.diameter * WIDER, 1);
  return {
    what: `${openingName(opening.id)} of ${diameter} mm instead of ${opening.diameter} mm`,
    decisions: { openings: all.map((one) => (one.id === opening.id ? { ...one, diameter } : one)) },
    anew: false,
  };
}

/** Both stages of it. */
function slower(lift: Lift): TriedChange {
  const { up, second } = lift;
  const half = (speed: number) => roundTo(speed / 2, 1);
  const speeds = (of: (speed: number) => number) =>
    [up, ...(second === null ? [] : [second.up])].map(of).join(' and ');
  return {
    what: `lift at ${speeds(half)} mm/min instead of ${speeds((speed) => speed)}`,
    decisions: { lift: { ...lift, up: half(up), second: second && { ...second, up: half(second.up) } } },
    anew: false,
  };
}

function thicker(wall: number): TriedChange {
  const thick = roundTo(wall + THICKER_MM, 2);
  return { what: `a wall of ${thick} mm instead of ${wall}`, decisions: { wall: thick }, anew: true };
}

function tilted(turn: Vec3, axis: number): TriedChange {
  const other = turn.map((degrees, n) => (n === axis ? roundTo((degrees + TILT_DEG) % 360, 3) : degrees));
  return {
    what: `turn [${other.join(', ')}] instead of [${turn.join(', ')}]`,
    decisions: { turn: other as unknown as Vec3 },
    anew: true,
  };
}
