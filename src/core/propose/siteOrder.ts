import { OFF_PLATE_MM } from '../openings/hasMouthRoom.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import type { OpeningSite } from './openingSites.ts';

/** mm that a place may lie worse by, for being covered by another part. */
const COVERED_WORTH_MM = 6;
/** mm of height that a mm to the side counts as. */
const ASIDE = 0.5;
/** Sites offered side by side lie this far apart, mm, so that each is another chance. */
const APART_MM = 6;

/**
 * Sites for a vent of `radius` in the limb that starts at `start`, best first: in that limb as printed up
 * to there, their bore's plate-side edge near the height of the start and near to it, rather where another
 * part will cover them. Print frame.
 */
export function ventSites(
  sites: readonly OpeningSite[],
  chamber: number,
  start: Vec3,
  radius: number,
): OpeningSite[] {
  const rise = ({ axis }: OpeningSite): number => radius * Math.sqrt(Math.max(0, 1 - axis[2] ** 2));
  const cost = (site: OpeningSite): number => {
    const [dx, dy] = subtract(site.entry, start);
    // A bore that rises from the plate's side is whole before the limb begins; one from the film's side never helps.
    const late = site.entry[2] - start[2] + rise(site) + radius * (1 - site.axis[2]);
    return Math.max(0, late) + ASIDE * Math.hypot(dx, dy);
  };
  const fitting = sites.filter(
    (site) =>
      site.chamber === chamber &&
      site.limbStart?.every((c, axis) => c === start[axis]) === true &&
      site.mouth[2] - rise(site) > OFF_PLATE_MM,
  );
  return inOrder(fitting, cost);
}

/**
 * Sites for a drain of a chamber, best first: each at the film end of a limb in which liquid gathers as
 * the part hangs, the furthest limb first. Print frame.
 */
export function drainSites(sites: readonly OpeningSite[], chamber: number): OpeningSite[] {
  const fitting = inOrder(
    sites.filter(({ chamber: of, pool }) => of === chamber && pool !== null),
    ({ entry }) => -entry[2],
  );
  const pools = new Set<number>();
  const [first, others] = [[] as OpeningSite[], [] as OpeningSite[]];
  for (const site of fitting) {
    (pools.has(site.pool!) ? others : first).push(site);
    pools.add(site.pool!);
  }
  return [...first, ...others];
}

/** Sites by their distance from a point, of one chamber or of any. */
export function nearestSites(
  sites: readonly OpeningSite[],
  chamber: number | null,
  place: Vec3,
): OpeningSite[] {
  const away = ({ mouth }: OpeningSite): number => norm(subtract(mouth, place));
  return sites
    .filter(({ chamber: of }) => chamber === null || of === chamber)
    .sort((a, b) => away(a) - away(b));
}

/** `count` of them: first those that lie apart from each other, then the best of the others. */
export function apart(sites: readonly OpeningSite[], count: number): OpeningSite[] {
  const chosen: OpeningSite[] = [];
  const others: OpeningSite[] = [];
  for (const site of sites) {
    if (chosen.length === count) break;
    const isApart = chosen.every(({ mouth }) => norm(subtract(mouth, site.mouth)) >= APART_MM);
    (isApart ? chosen : others).push(site);
  }
  return [...chosen, ...others.slice(0, count - chosen.length)];
}

function inOrder(sites: readonly OpeningSite[], cost: (site: OpeningSite) => number): OpeningSite[] {
  return sites
    .map((site) => ({ site, cost: cost(site) - (site.coveredBy === null ? 0 : COVERED_WORTH_MM) }))
    .sort((a, b) => a.cost - b.cost)
    .map(({ site }) => site);
}
