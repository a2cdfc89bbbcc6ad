import { eulerStrut } from '../physics/eulerStrut.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import type { Tie } from './supportPlan.ts';
import type { SupportSetting } from './supportSetting.ts';

/** A strut that may be tied. Print frame, mm. */
export interface TiedStrut {
  /** From under the tip to the foot, as a `Support` has it. */
  readonly line: readonly Vec3[];
  readonly stands: 'plate' | 'part';
  readonly loadN: number;
  /** Least width for other reasons than buckling. */
  readonly leastMm: number;
}

export interface TiedStruts {
  /** By strut: the longest stretch between places that are held, mm; its whole length where it has no ties. */
  readonly freeMm: readonly number[];
  readonly ties: readonly Tie[];
}

/** Middles of tied struts stand this far apart, mm: nearer a tie has no lever, further it is a strut of its own. Engineering choice. */
const NEAREST_MM = 3;
const FARTHEST_MM = 14;
/** Ties hold a place where they come from directions at least this far apart: any way it gives, one of them is in it. Engineering choice. */
const APART_DEG = 30;
/** A tie must bear this share of what the strut bears: the rule of thumb of steelwork, 2 to 2.5 %, from memory. */
const TIE_SHARE = 0.025;
/** Least width of a tie, mm: common practice for the thinnest strut that prints, no source. */
const THINNEST_MM = 0.6;
/** What a strut is tied to is at least this share of its width: 0.8 is two fifths of its stiffness. Engineering choice. */
const COMPARABLE = 0.8;

/**
 * Ties between struts on the plate that would else be wider than they need be for their tips, lest they buckle; where
 * the ties take less resin than that saves.
 *
 * A tie by itself holds nothing: two struts that give the same way take it along. So ties go to and fro between two
 * struts from their feet upward, each leaning 45°, which makes a truss of the two; and a strut counts as held only
 * with two such trusses from different directions. Then it buckles between its ties (Euler, hinged there), if the
 * truss as a whole is not the weaker of the two: with struts of width w and length L, d apart, tied each g, the truss
 * has the second moment A·d²/2, the two struts 2·I between ties, and so d·g must be w·L/2 or more. What is held is
 * reckoned from the ties that are there.
 */
export function tieStruts(
  struts: readonly TiedStrut[],
  setting: Pick<SupportSetting, 'greenModulus' | 'safety'>,
  raftMm: number,
  isFree: (from: Vec3, to: Vec3) => boolean,
): TiedStruts {
  const freeMm = struts.map(lengthOf);
  const widthNow = struts.map(({ loadN }, n) => stiffWidth(freeMm[n]!, loadN, setting));
  const wanting = [...struts.keys()]
    .filter((n) => struts[n]!.stands === 'plate' && widthNow[n]! > struts[n]!.leastMm)
    .sort((a, b) => freeMm[b]! * widthNow[b]! ** 2 - freeMm[a]! * widthNow[a]! ** 2 || a - b);
  const near = neighbours(struts);
  const trusses = new Map<string, Truss>();
  for (const n of wanting) {
    const sides = near(n).map((other) => {
      const known = trusses.get(nameOf(n, other));
      return { other, known: known !== undefined, truss: known ?? trussOf(struts, n, other, raftMm, isFree) };
    });
    const best = bestPair(struts, n, sides, widthNow[n]!, setting);
    if (best === null) continue;
    freeMm[n] = best.freeMm;
    for (const { other, truss } of best.sides) trusses.set(nameOf(n, other), truss);
  }
  return { freeMm, ties: [...trusses.values()].flatMap(({ ties }) => ties) };
}

/** The same without any tie. */
export const untied = (struts: readonly TiedStrut[]): TiedStruts => ({
  freeMm: struts.map(lengthOf),
  ties: [],
});

/** Width of a strut, mm, that just does not buckle over a free length, hinged at both ends, when the way down presses with what the way up pulls. */
export function stiffWidth(
  freeMm: number,
  loadN: number,
  { greenModulus, safety }: Pick<SupportSetting, 'greenModulus' | 'safety'>,
): number {
  const atOneMm = eulerStrut(1e-3, Math.max(1e-3 * freeMm, 1e-6), greenModulus * 1e6, 1);
  return Math.ceil(10 * ((loadN * safety) / atOneMm) ** 0.25) / 10;
}

const lengthOf = ({ line }: Pick<TiedStrut, 'line'>): number =>
  line.slice(1).reduce((sum, to, n) => sum + norm(subtract(line[n]!, to)), 0);

/** Ties to and fro between two struts. */
interface Truss {
  readonly ties: readonly Tie[];
  /** mm between the struts, and the heights at which each of the two is tied; the first is the one with the lower number. */
  readonly apartMm: number;
  readonly heights: readonly [readonly number[], readonly number[]];
}

interface Side {
  readonly other: number;
  readonly truss: Truss;
  /** It is there already for another strut. */
  readonly known: boolean;
}

const nameOf = (a: number, b: number): string => `${Math.min(a, b)} ${Math.max(a, b)}`;

const footOf = ({ line }: TiedStrut): Vec3 => line.at(-1)!;
/** Where its upright part ends, mm. */
const topOf = ({ line }: TiedStrut): number => line.at(-2)![2];

/** Struts on the plate at a distance that ties may have, the nearest first. */
function neighbours(struts: readonly TiedStrut[]): (n: number) => number[] {
  const cells = new Map<string, number[]>();
  const cellOf = (c: number): number => Math.floor(c / FARTHEST_MM);
  for (const [n, strut] of struts.entries()) {
    if (strut.stands !== 'plate') continue;
    const [x, y] = footOf(strut);
    const name = `${cellOf(x)} ${cellOf(y)}`;
    cells.set(name, [...(cells.get(name) ?? []), n]);
  }
  return (n) => {
    const [x, y] = footOf(struts[n]!);
    const found: { other: number; apart: number }[] = [];
    for (let cell = 0; cell < 9; cell++) {
      const name = `${cellOf(x) + (cell % 3) - 1} ${cellOf(y) + Math.floor(cell / 3) - 1}`;
      for (const other of cells.get(name) ?? []) {
        const foot = footOf(struts[other]!);
        const apart = Math.hypot(foot[0] - x, foot[1] - y);
        if (other !== n && apart >= NEAREST_MM && apart <= FARTHEST_MM) found.push({ other, apart });
      }
    }
    return found.sort((a, b) => a.apart - b.apart || a.other - b.other).map(({ other }) => other);
  };
}

/** From the foot of the lower-numbered strut up, as far as both reach and nothing is in the way. */
function trussOf(
  struts: readonly TiedStrut[],
  one: number,
  other: number,
  raftMm: number,
  isFree: (from: Vec3, to: Vec3) => boolean,
): Truss {
  const pair = [Math.min(one, other), Math.max(one, other)].map((n) => struts[n]!) as [TiedStrut, TiedStrut];
  const feet = pair.map(footOf) as [Vec3, Vec3];
  const apartMm = Math.hypot(feet[1][0] - feet[0][0], feet[1][1] - feet[0][1]);
  const loadN = Math.max(pair[0].loadN, pair[1].loadN);
  const heights: [number[], number[]] = [[], []];
  const ties: Tie[] = [];
  let [side, z] = [0, raftMm];
  for (; z + apartMm <= topOf(pair[1 - side]!); z += apartMm, side = 1 - side) {
    const from: Vec3 = [feet[side]![0], feet[side]![1], z];
    const to: Vec3 = [feet[1 - side]![0], feet[1 - side]![1], z + apartMm];
    if (z > topOf(pair[side]!) || !isFree(from, to)) break;
    ties.push({ from, to, widthMm: THINNEST_MM, loadN: TIE_SHARE * loadN });
    heights[side]!.push(z);
    heights[1 - side]!.push(z + apartMm);
  }
  return { ties, apartMm, heights };
}

/** The two trusses with which a strut saves most; null where none save anything. */
function bestPair(
  struts: readonly TiedStrut[],
  n: number,
  sides: readonly Side[],
  width: number,
  setting: Pick<SupportSetting, 'greenModulus' | 'safety'>,
): { readonly freeMm: number; readonly sides: readonly [Side, Side] } | null {
  const strut = struts[n]!;
  const length = lengthOf(strut);
  const usable = sides
    .map((side) => ({ side, freeMm: freeLength(strut, side.truss.heights[n < side.other ? 0 : 1]) }))
    .filter(({ side, freeMm }) => freeMm < length && isTieable(side.truss, setting));
  let best: { freeMm: number; sides: [Side, Side]; saves: number } | null = null;
  for (const [at, a] of usable.entries()) {
    for (const b of usable.slice(at + 1)) {
      if (!areApart(struts, n, a.side.other, b.side.other)) continue;
      const freeMm = Math.max(a.freeMm, b.freeMm);
      const slim = Math.max(strut.leastMm, stiffWidth(freeMm, strut.loadN, setting));
      const isFirm = [a.side, b.side].every(
        ({ truss, other }) =>
          truss.apartMm * freeMm >= (slim * length) / 2 && struts[other]!.leastMm >= COMPARABLE * slim,
      );
      const ties = [a.side, b.side].reduce(
        (sum, { truss, known }) => sum + (known ? 0 : tiesVolume(truss)),
        0,
      );
      const saves = (Math.PI / 4) * length * (width ** 2 - slim ** 2) - ties;
      if (isFirm && saves > (best?.saves ?? 0)) best = { freeMm, sides: [a.side, b.side], saves };
    }
  }
  return best;
}

/** The longest stretch of a strut between places at which it is held: its foot, its ties, its tip. */
function freeLength({ line }: TiedStrut, heights: readonly number[]): number {
  const top = line.at(-2)![2];
  const lean = lengthOf({ line: line.slice(0, -1) });
  let longest = 0;
  let last = 0;
  for (const height of heights) {
    longest = Math.max(longest, height - last);
    last = height;
  }
  return Math.max(longest, top - last + lean);
}

/** Its ties bear what they must, slim as they are. */
const isTieable = (
  { ties, apartMm }: Truss,
  setting: Pick<SupportSetting, 'greenModulus' | 'safety'>,
): boolean => ties.length > 0 && stiffWidth(Math.SQRT2 * apartMm, ties[0]!.loadN, setting) <= THINNEST_MM;

function areApart(struts: readonly TiedStrut[], n: number, a: number, b: number): boolean {
  const [x, y] = footOf(struts[n]!);
  const [ax, ay] = footOf(struts[a]!);
  const [bx, by] = footOf(struts[b]!);
  const sine =
    Math.abs((ax - x) * (by - y) - (ay - y) * (bx - x)) /
    (Math.hypot(ax - x, ay - y) * Math.hypot(bx - x, by - y));
  return sine >= Math.sin((APART_DEG * Math.PI) / 180);
}

const tiesVolume = ({ ties, apartMm }: Truss): number =>
  ties.length * Math.SQRT2 * apartMm * (Math.PI / 4) * THINNEST_MM ** 2;
