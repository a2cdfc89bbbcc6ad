import type { Vec3 } from '../vector.ts';
import type { SoughtWay } from './chooseContacts.ts';

/** Ways of struts as they were found, place by place. Print frame, mm. */
export interface KnownWays {
  /** x, y, z and 1 where it is a start, four numbers a place. */
  readonly places: Float64Array;
  /**
   * What was found there, seven numbers: how many points the way has (0 = there is none), 1 where it stands on the part,
   * the height of its head, x, y and z of its knee or, without one, of its foot, and whether a foot would be off the plate.
   */
  readonly found: Float64Array;
  /** x and y of feet off the plate, two numbers a place. */
  readonly offPlate: Float64Array;
}

const PLACE = 4;
const FOUND = 7;

type Seeking = (at: Vec3, isStart: boolean) => SoughtWay;

/** Notes all that is found. */
export function noteWays(seek: Seeking): { readonly seek: Seeking; readonly noted: () => KnownWays } {
  const places: number[] = [];
  const found: number[] = [];
  const feet: number[] = [];
  return {
    seek(at, isStart) {
      const way = seek(at, isStart);
      const { route, offPlate } = way;
      const line = route?.line ?? [];
      places.push(...at, Number(isStart));
      found.push(line.length, Number(route?.stands === 'part'), line[0]?.[2] ?? 0);
      found.push(...(line[1] ?? [0, 0, 0]), Number(offPlate !== null));
      feet.push(offPlate?.[0] ?? 0, offPlate?.[1] ?? 0);
      return way;
    },
    noted: () => ({
      places: Float64Array.from(places),
      found: Float64Array.from(found),
      offPlate: Float64Array.from(feet),
    }),
  };
}

/** Answers from what is known, and seeks only what is not. */
export function withKnownWays({ places, found, offPlate }: KnownWays, seek: Seeking): Seeking {
  const numbers = new Map<string, number>();
  for (let n = 0; PLACE * n < places.length; n++) {
    numbers.set(places.subarray(PLACE * n, PLACE * (n + 1)).join(' '), n);
  }
  return (at, isStart) => {
    const n = numbers.get(`${at[0]} ${at[1]} ${at[2]} ${Number(isStart)}`);
    if (n === undefined) return seek(at, isStart);
    const [points, onPart, head, x, y, z, isOff] = found.subarray(FOUND * n, FOUND * (n + 1));
    return {
      route:
        points === 0
          ? null
          : { line: lineOf(at, points!, head!, [x!, y!, z!]), stands: onPart === 1 ? 'part' : 'plate' },
      offPlate: isOff === 1 ? [offPlate[2 * n]!, offPlate[2 * n + 1]!, 0] : null,
    };
  };
}

/** Straight to the foot in `bend`; or by way of a knee there to the plate. */
const lineOf = ([x, y]: Vec3, points: number, head: number, bend: Vec3): Vec3[] =>
  points === 3 ? [[x, y, head], bend, [bend[0], bend[1], 0]] : [[x, y, head], bend];
