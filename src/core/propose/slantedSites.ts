import { limbsOf } from '../layers/limbs.ts';
import { layerOfRegion } from '../layers/regionPlace.ts';
import { type RegionRun, regionRuns } from '../layers/regionRuns.ts';
import { regionsAt } from '../layers/regionsAt.ts';
import type { LabelledVoid, VoidGraph } from '../layers/voidGraph.ts';
import { closestOnSurface } from '../openings/closestOnSurface.ts';
import { diametersMm } from '../openings/diameters.ts';
import { lineHits } from '../openings/lineHits.ts';
import type { OpenablePart } from '../openings/openablePart.ts';
import type { SurfaceIndex } from '../openings/surfaceIndex.ts';
import { sphereDirections } from '../sphereDirections.ts';
import { add, scale, type Vec3 } from '../vector.ts';
import { LONGEST_WALLS, type OpeningSite, type Surroundings } from './openingSites.ts';

/** How far up a limb is followed, and how far apart in it bores are looked for, mm. */
const FARTHEST_MM = 3;
const STEP_MM = 0.3;
/** Diameters of the narrowest bore round such a place: less is no limb. The bore itself is judged later. */
const LEAST_ROOM = 0.25;
/** Places looked at in a layer of a limb, and how many of them bores lead out from. */
const RUNS_LOOKED_AT = 12;
const PLACES = 3;
/** Ways from each of these, those that rise to the film by more than 20° left out. */
const WAYS = 200;
const STEEPEST_RISE = Math.sin((20 * Math.PI) / 180);
const ways = sphereDirections(WAYS).filter(([, , z]) => z <= STEEPEST_RISE);

/**
 * Sites for a narrow limb, where a bore straight through the wall would run along one of its sides: from places
 * inside the limb where there is room round them, outward in every direction that leads through
 * one wall. Asked by where the limb starts, as the layers tell it; empty where none is, or no way leads out. Print
 * frame, mm.
 */
export function slantedSites(
  part: OpenablePart,
  surroundings: Surroundings,
  { graph, labels }: { readonly graph: VoidGraph; readonly labels: LabelledVoid },
): (start: Vec3) => OpeningSite[] {
  const limbs = limbsOf(graph).fromPlate;
  const found = new Map<string, OpeningSite[]>();
  return (start) => {
    const known = found.get(start.join());
    if (known !== undefined) return known;
    const { cavity } = part;
    const places = cavity === null ? [] : [...placesInLimb(start, cavity, graph, limbs, labels)];
    const sites = sitesFrom(places, start, part, surroundings);
    found.set(start.join(), sites);
    return sites;
  };
}

function sitesFrom(
  places: readonly Vec3[],
  start: Vec3,
  { outer, cavity, facetChamber, wallMm }: OpenablePart,
  { onShowSide, coveredBy }: Surroundings,
): OpeningSite[] {
  if (cavity === null || facetChamber === null || wallMm === null) return [];
  const sites: OpeningSite[] = [];
  for (const place of places) {
    for (const way of ways) {
      const inner = lineHits(cavity, place, way, 0, Number.POSITIVE_INFINITY)[0];
      if (inner === undefined || inner.entering) continue;
      const end = lineHits(outer, place, way, 0, inner.at + LONGEST_WALLS * wallMm)[0];
      if (end === undefined || end.entering || end.at <= inner.at) continue;
      const mouth = add(place, scale(way, end.at));
      if (onShowSide(mouth, way)) continue;
      const axis = scale(way, -1);
      const far = lineHits(cavity, place, axis, 0, Number.POSITIVE_INFINITY)[0];
      sites.push({
        chamber: facetChamber[inner.facet]!,
        mouth,
        entry: add(place, scale(way, inner.at)),
        axis,
        toward: axis,
        roomMm: inner.at + (far?.at ?? 0),
        coveredBy: coveredBy(mouth),
        limbStart: start,
        pool: null,
      });
    }
  }
  return sites;
}

/** The roomiest places of a limb in layers from its start up, as long as it is a limb of its own. */
function* placesInLimb(
  start: Vec3,
  cavity: SurfaceIndex,
  graph: VoidGraph,
  limbs: Uint32Array,
  labels: LabelledVoid,
): Generator<Vec3> {
  const { layerHeight } = graph;
  const [first] = regionsAt([add(start, [0, 0, layerHeight / 2])], labels);
  const step = Math.max(1, Math.round(STEP_MM / layerHeight));
  const last = Math.round(FARTHEST_MM / layerHeight);
  for (let n = 0, region = first!; n <= last && region >= 0 && limbs[region] === first; n++) {
    const layer = layerOfRegion(graph, region);
    if (n > 0 && n % step === 0) {
      yield* roomiest(regionRuns(region, layer, labels), (layer + 0.5) * layerHeight, cavity);
    }
    region = widestAbove(graph, region, layer);
  }
}

/** Middles of a region's runs that have room round them, the best of a few spread over it: its own middle may be solid. */
function roomiest(runs: readonly RegionRun[], z: number, cavity: SurfaceIndex): Vec3[] {
  const some = runs.filter((_, n) => n % Math.max(1, Math.ceil(runs.length / RUNS_LOOKED_AT)) === 0);
  return some
    .map(({ y, low, high }): Vec3 => [(low + high) / 2, y, z])
    .map((place) => ({ place, room: closestOnSurface(cavity, place).distanceMm }))
    .filter(({ room }) => room >= LEAST_ROOM * diametersMm[0])
    .sort((a, b) => b.room - a.room)
    .slice(0, PLACES)
    .map(({ place }) => place);
}

/** The region of the next layer that lies over most of this one; −1 where none does. */
function widestAbove(
  { contactStart, contactBelow, contactAbove, contactArea }: VoidGraph,
  region: number,
  layer: number,
): number {
  let [widest, most] = [-1, 0];
  for (let contact = contactStart[layer + 1] ?? 0; contact < (contactStart[layer + 2] ?? 0); contact++) {
    if (contactBelow[contact] !== region || contactArea[contact]! <= most) continue;
    [widest, most] = [contactAbove[contact]!, contactArea[contact]!];
  }
  return widest;
}
