import type { Film, Limits, Machine, Resin } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { cutAreas } from '../core/layers/cutSolid.ts';
import { linkOpenings } from '../core/layers/linkOpenings.ts';
import { sweepCups } from '../core/layers/sweepCups.ts';
import { sumByChamber, trappedLiquid } from '../core/layers/trappedLiquid.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningDecision, OpeningFacts, PlacedOpening } from '../core/openings/opening.ts';
import { placeOpening } from '../core/openings/placeOpening.ts';
import { computePartLoads } from '../core/physics/computePartLoads.ts';
import type { LayeredPart } from './measureLayered.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

/**
 * What the figures depend on beside the measured layers: exactly this is given to the stage and
 * makes its key, so that nothing else can change a figure and nothing else starts it anew.
 */
export interface LateDecisions {
  readonly openings: readonly OpeningDecision[];
  readonly wallMm: number | null;
  readonly machine: Pick<Machine, 'lift' | 'exposure' | 'vat' | 'resinDepth' | 'leastResinDepth'>;
  readonly film: Film;
  readonly resin: Pick<Resin, 'density' | 'liquidDensity' | 'viscosity'>;
  readonly limits: Pick<Limits, 'suction' | 'breatheLayers'>;
}

export function lateDecisions({ openings, wall, machine, film, resin, limits }: PartRequest): LateDecisions {
  const { lift, exposure, vat, resinDepth, leastResinDepth } = machine;
  const { density, liquidDensity, viscosity } = resin;
  return {
    openings,
    wallMm: wall,
    machine: { lift, exposure, vat, resinDepth, leastResinDepth },
    film: { peel: film.peel },
    resin: { density, liquidDensity, viscosity },
    limits: { suction: limits.suction, breatheLayers: limits.breatheLayers },
  };
}

/**
 * Places the openings of a measured part, links them into its voids and reckons what printing asks
 * of it. `openable` may be null when there is nothing to place.
 */
export function measureOpenings(
  layered: LayeredPart,
  late: LateDecisions,
  openable: OpenablePart | null,
  context: StageContext,
): Omit<PartFacts, 'name'> {
  const { mesh, figures, graph, solid, xLow, xHigh } = layered;
  const labels = { solid, xLow, xHigh, regionStart: graph.regionStart };
  const openings = place(late.openings, openable, context);
  const cut = openings.filter(isPlaced);
  const placed = cut.map((opening) => opening.placed);
  const links = linkOpenings(placed, labels);
  const cutMm2 = cutAreas(placed, solid);
  const cutMm3 = cutMm2.reduce((sum, area) => sum + area, 0) * solid.lattice.dz;
  const resinMm3 = layered.hollow.solidMm3 - (layered.chambersMm3 + cutMm3);
  const trapped = trappedLiquid(graph, links);
  const loads = computePartLoads(
    {
      layerHeight: solid.lattice.dz,
      areaMm2: figures.area,
      tracks: sweepCups(graph, links),
      cutMm2,
      openings: cut,
      trappedMm3: sumByChamber(graph, trapped, layered.hollow.chambers.length),
      curedMm3: resinMm3,
      wallMm: late.wallMm,
      machine: late.machine,
      film: late.film,
      resin: late.resin,
      limits: late.limits,
    },
    context.stage('reckoning loads'),
  );
  return { mesh, hollow: { ...layered.hollow, resinMm3 }, openings, layers: figures, loads };
}

function place(
  decisions: readonly OpeningDecision[],
  openable: OpenablePart | null,
  context: StageContext,
): OpeningFacts[] {
  if (openable === null) return [];
  const placing = context.stage('placing openings');
  return decisions.map((decision, at) => {
    placing(0.6 + (0.4 * at) / decisions.length);
    return placeOpening(decision, openable);
  });
}

const isPlaced = (opening: OpeningFacts): opening is OpeningFacts & { placed: PlacedOpening } =>
  opening.placed !== null;
