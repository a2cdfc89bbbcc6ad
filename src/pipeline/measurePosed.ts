import { portion } from '../core/interrupter.ts';
import type { Machine } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { buildVoidGraph } from '../core/layers/buildVoidGraph.ts';
import { cutAreas } from '../core/layers/cutSolid.ts';
import type { LayerOptions } from '../core/layers/layerOptions.ts';
import { linkOpenings } from '../core/layers/linkOpenings.ts';
import { measureLayers } from '../core/layers/measureLayers.ts';
import { sweepCups } from '../core/layers/sweepCups.ts';
import { sumByChamber, trappedLiquid } from '../core/layers/trappedLiquid.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { OpeningFacts, PlacedOpening } from '../core/openings/opening.ts';
import { computePartLoads } from '../core/physics/computePartLoads.ts';
import { checkGridLoad } from '../core/rays/checkGridLoad.ts';
import type { LabelledRuns } from '../core/rays/labelledRuns.ts';
import type { Lattice } from '../core/rays/lattice.ts';
import { latticeFor } from '../core/rays/latticeFor.ts';
import type { Runs } from '../core/rays/runs.ts';
import { runsVolume } from '../core/rays/runsVolume.ts';
import { subtractRuns } from '../core/rays/subtractRuns.ts';
import { type Result, success } from '../core/result.ts';
import type { Box } from '../core/vector.ts';
import { hollowFacts } from './hollowFacts.ts';
import { meshFacts } from './meshFacts.ts';
import type { PartRequest } from './partRequest.ts';
import { placeOpenings } from './placeOpenings.ts';
import type { PosedPart } from './posedPart.ts';
import type { StageContext } from './stageContext.ts';

/** Spacing of the rows of the ray grid, mm. */
const rowMm = 0.1;
/** Beyond this many rows they are spread; a full plate of the largest machines takes fewer. */
const mostRows = 24e6;
/** A part that outgrows the machine twice over is told so; its layers are only sketched. */
const mostRowsOversize = 1e6;

/** Rays, layers, openings and loads of a posed part. */
export async function measurePosed(part: PosedPart, context: StageContext): Promise<Result<PartFacts>> {
  const { request, outer } = part;
  const mass = massProperties(outer, context.stage('weighing'));
  const lattice = spreadRows(
    latticeFor(mass.bounds, rowMm, request.machine.layer),
    mass.bounds,
    request.machine,
  );
  const load = checkGridLoad(outer, lattice);
  if (!load.ok) return load;
  const { skin, chamberRuns } = await castRays(part, lattice, context);
  const solid = chamberRuns === null ? skin : subtractRuns(skin, chamberRuns);

  const layering = context.stage('reading layers');
  const figures = measureLayers(solid, chamberRuns, layerOptions(request), portion(layering, 0, 0.6));
  const { graph, labels } = buildVoidGraph(solid, chamberRuns, portion(layering, 0.6, 1));

  const openings = placeOpenings(part, context.stage('placing openings'));
  const cut = openings.filter(isPlaced);
  const placed = cut.map((opening) => opening.placed);
  const links = linkOpenings(placed, labels);
  const skinMm3 = part.prepared.sound ? mass.volume : runsVolume(skin);
  const cutMm2 = cutAreas(placed, solid);
  const cutMm3 = cutMm2.reduce((sum, area) => sum + area, 0) * lattice.dz;
  const removedMm3 = (chamberRuns === null ? 0 : runsVolume(chamberRuns)) + cutMm3;
  const hollow = hollowFacts(part, skinMm3, skinMm3 - removedMm3);
  const loads = computePartLoads(
    {
      layerHeight: lattice.dz,
      areaMm2: figures.area,
      tracks: sweepCups(graph, links),
      cutMm2,
      openings: cut,
      trappedMm3: sumByChamber(graph, trappedLiquid(graph, links), hollow.chambers.length),
      wallMm: request.wall,
      curedMm3: hollow.resinMm3,
      machine: request.machine,
      film: request.film,
      resin: request.resin,
      limits: request.limits,
    },
    context.stage('reckoning loads'),
  );
  const mesh = meshFacts(part, mass, skinMm3, context.stage('looking for doubled walls'));
  return success({ name: request.name, mesh, hollow, openings, layers: figures, loads });
}

async function castRays(
  { outer, cavity, posedCavity }: PosedPart,
  lattice: Lattice,
  { stage, hands }: StageContext,
): Promise<{ skin: Runs; chamberRuns: LabelledRuns | null }> {
  const hollowed = cavity !== null && posedCavity !== null && cavity.chambers.length > 0;
  const surfaces = [{ mesh: outer, lattice, facetChamber: null as Uint32Array | null }];
  if (hollowed) surfaces.push({ mesh: posedCavity, lattice, facetChamber: cavity.facetChamber });
  const [skin, chamberRuns] = await hands.share('castSurface', surfaces, stage('casting rays'));
  return { skin: skin!, chamberRuns: hollowed ? (chamberRuns as LabelledRuns) : null };
}

const isPlaced = (opening: OpeningFacts): opening is OpeningFacts & { placed: PlacedOpening } =>
  opening.placed !== null;

function spreadRows(lattice: Lattice, { min, max }: Box, { plate, height }: Machine): Lattice {
  const oversize = [...plate, height].some((room, axis) => max[axis]! - min[axis]! > 2 * room);
  const excess = (lattice.rows * lattice.layers) / (oversize ? mostRowsOversize : mostRows);
  if (excess <= 1) return lattice;
  const rows = Math.max(3, Math.ceil(lattice.rows / excess));
  return { ...lattice, rows, dy: (lattice.rows * lattice.dy) / rows };
}

function layerOptions({ limits }: PartRequest): LayerOptions {
  return {
    selfSupportDeg: limits.selfSupport,
    ceilingMm2: limits.ceiling,
    ceilingSpanMm: limits.ceilingSpan,
  };
}
