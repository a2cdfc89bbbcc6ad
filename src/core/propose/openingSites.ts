import type { Interrupter } from '../interrupter.ts';
import { limbsOf } from '../layers/limbs.ts';
import { startOfRegion } from '../layers/regionPlace.ts';
import { regionsAt } from '../layers/regionsAt.ts';
import type { LabelledVoid, VoidGraph } from '../layers/voidGraph.ts';
import { closestOnSurface } from '../openings/closestOnSurface.ts';
import { lineHits } from '../openings/lineHits.ts';
import type { OpenablePart } from '../openings/openablePart.ts';
import { add, norm, scale, subtract, type Vec3 } from '../vector.ts';

/** A place where an opening could be drilled straight through the wall into a chamber. Print frame, mm. */
export interface OpeningSite {
  readonly chamber: number;
  /** On the outer surface, and right behind it where the chamber begins. */
  readonly mouth: Vec3;
  readonly entry: Vec3;
  /** Unit vector from the mouth to the entry. */
  readonly axis: Vec3;
  /** The axis, where it must be told since it is not the surface's own; absent where it is. */
  readonly toward?: Vec3;
  /** From the entry along the axis to the chamber's far wall. */
  readonly roomMm: number;
  /** Name of the part whose surface lies against the mouth when the figure is assembled; null when none does. */
  readonly coveredBy: string | null;
  /** The limb that the entry lies in, as printed up to its own layer: where that starts. */
  readonly limbStart: Vec3 | null;
  /** The limb of the hanging part that liquid at the entry gathers in, by its last region. */
  readonly pool: number | null;
}

/** What the builder will see or hide. Points in the print frame. */
export interface Surroundings {
  /** `facing` is the surface's unit normal there. */
  readonly onShowSide: (at: Vec3, facing: Vec3) => boolean;
  readonly coveredBy: (at: Vec3) => string | null;
}

/** Sites stand about this far apart, mm. */
const APART_MM = 3;
/** A way through the wall longer than this many walls is no straight one. */
export const LONGEST_WALLS = 1.5;
/** Ahead of the entry there must be at least this much of the chamber, mm. */
const LEAST_ROOM_MM = 2;
/** Behind the entry, where the void of the layers is met for certain, mm. */
const JUST_INSIDE_MM = 0.5;
const CALL_MASK = 0x7f;

/**
 * Sites all over the chambers' walls, one for each cube of `APART_MM` that the cavity's surface passes:
 * where the outer surface is nearest the wall has its own thickness, so a bore there is as short as can
 * be. None on the show side. In the order of the cavity's facets; empty for a part without chambers.
 */
export function openingSites(
  part: OpenablePart,
  { onShowSide, coveredBy }: Surroundings,
  voids: { readonly graph: VoidGraph; readonly labels: LabelledVoid },
  interrupter: Interrupter,
): OpeningSite[] {
  const { cavity, facetChamber, wallMm } = part;
  if (cavity === null || facetChamber === null || wallMm === null) return [];
  const { positions, triangles } = cavity.mesh;
  const taken = new Set<string>();
  const sites: BareSite[] = [];
  for (let facet = 0; facet < facetChamber.length; facet++) {
    const at = 3 * triangles[3 * facet]!;
    const entry: Vec3 = [positions[at]!, positions[at + 1]!, positions[at + 2]!];
    const cube = `${facetChamber[facet]},${entry.map((c) => Math.floor(c / APART_MM)).join()}`;
    if (taken.has(cube)) continue;
    taken.add(cube);
    if ((taken.size & CALL_MASK) === 0) interrupter(facet / facetChamber.length);
    const site = siteBefore(part, entry, facetChamber[facet]!, LONGEST_WALLS * wallMm);
    if (site === null || onShowSide(site.mouth, scale(site.axis, -1))) continue;
    sites.push({ ...site, coveredBy: coveredBy(site.mouth) });
  }
  return withLimbs(sites, voids.graph, voids.labels);
}

type BareSite = Omit<OpeningSite, 'limbStart' | 'pool'>;

function withLimbs(sites: readonly BareSite[], graph: VoidGraph, labels: LabelledVoid): OpeningSite[] {
  const inside = sites.map(({ entry, axis }) => add(entry, scale(axis, JUST_INSIDE_MM)));
  const regions = regionsAt(inside, labels);
  const { fromPlate, fromFilm } = limbsOf(graph);
  return sites.map((site, n) => {
    const region = regions[n]!;
    if (region < 0 || graph.enclosed[region] === 0) return { ...site, limbStart: null, pool: null };
    return { ...site, limbStart: startOfRegion(graph, fromPlate[region]!), pool: fromFilm[region]! };
  });
}

function siteBefore(
  { outer, cavity }: OpenablePart,
  entry: Vec3,
  chamber: number,
  longestMm: number,
): Omit<BareSite, 'coveredBy'> | null {
  const { point: mouth, distanceMm } = closestOnSurface(outer, entry);
  if (!(distanceMm > 0 && distanceMm <= longestMm)) return null;
  const way = subtract(entry, mouth);
  const axis = scale(way, 1 / norm(way));
  const leaving = lineHits(cavity!, entry, axis, 0.1, Infinity).find((hit) => !hit.entering);
  if (leaving === undefined || leaving.at < LEAST_ROOM_MM) return null;
  return { chamber, mouth, entry, axis, roomMm: leaving.at };
}
