import type { HollowFacts, MeshFacts } from '../core/kit/partFacts.ts';
import { type PartSpans, spansOf } from '../core/layers/castLayers.ts';
import { cutLayers } from '../core/layers/cutLayers.ts';
import { joinLayerSlices } from '../core/layers/joinLayerSlices.ts';
import type { LayerFigures } from '../core/layers/layerFigures.ts';
import type { LayerOptions } from '../core/layers/layerOptions.ts';
import type { VoidGraph } from '../core/layers/voidGraph.ts';
import { checkGridLoad } from '../core/rays/checkGridLoad.ts';
import type { Lattice } from '../core/rays/lattice.ts';
import type { LayerSpans } from '../core/rays/layerSpans.ts';
import type { RunsByLayer } from '../core/rays/runsByLayer.ts';
import { type Result, success } from '../core/result.ts';
import { hollowFacts } from './hollowFacts.ts';
import { meshFacts } from './meshFacts.ts';
import type { PosedPart } from './posedPart.ts';
import { sharedIndices } from './sharedMesh.ts';
import type { PosedWork } from './sharedTasks.ts';
import type { StageContext } from './stageContext.ts';

/** A part as measured before anything is drilled: all that an edit of an opening leaves as it is. */
export interface LayeredPart {
  readonly mesh: MeshFacts;
  readonly hollow: Omit<HollowFacts, 'resinMm3'>;
  readonly chambersMm3: number;
  readonly figures: LayerFigures;
  readonly graph: VoidGraph;
  /** The part with its cavity taken out, and the x bounds of the void round it. */
  readonly solid: RunsByLayer;
  readonly xLow: number;
  readonly xHigh: number;
}

/** So many that whoever comes late or has the heavier range is not waited for long. */
const ranges = 9;
/** A wall is doubled when it stands twice within this distance; without a wall to go by, the usual one. */
const usualWallMm = 1.5;

/** Rays, layers and voids of a posed part, its layers shared between the threads that are idle. */
export async function measureLayered(
  part: PosedPart,
  lattice: Lattice,
  options: LayerOptions,
  context: StageContext,
): Promise<Result<LayeredPart>> {
  const { posed, pose, cavity } = part;
  const load = checkGridLoad(posed.outer, lattice);
  if (!load.ok) return load;
  const hollowed = cavity !== null && posed.cavity !== null && cavity.chambers.length > 0;
  const meshes = {
    lattice,
    skin: posed.outer,
    cavity: hollowed ? { mesh: posed.cavity, facetChamber: cavity.facetChamber } : null,
  };
  const stage = context.stage('reading layers');
  const input = { ...meshes, spans: sharedSpans(spansOf(meshes, stage)) };
  const cuts = cutLayers(input, Math.min(ranges, Math.max(1, lattice.layers)));
  // The longest piece first.
  const work: PosedWork[] = [
    { kind: 'walls', mesh: part.mended, wallMm: part.request.wall ?? usualWallMm },
    ...cuts.slice(1).map((to, at) => ({ kind: 'layers' as const, input, from: cuts[at]!, to, options })),
  ];
  const found = await context.hands.share('measurePosed', work, stage);
  const slices = found.flatMap((one) => (one.kind === 'layers' ? [one.slice] : []));
  const doubledWalls = found.flatMap((one) => (one.kind === 'walls' ? one.doubled : []));
  const layers = joinLayerSlices(lattice, slices, options);
  const skinMm3 = part.prepared.sound ? pose.mass.volume : layers.skinMm3;
  return success({
    mesh: meshFacts(part, skinMm3, doubledWalls),
    hollow: hollowFacts(part, skinMm3),
    chambersMm3: layers.chambersMm3,
    figures: layers.figures,
    graph: layers.graph,
    solid: layers.solid,
    xLow: layers.labels.xLow,
    xHigh: layers.labels.xHigh,
  });
}

/** What is large of them, on memory that other threads read as it is. */
const sharedSpans = ({ skin, cavity }: PartSpans): PartSpans => {
  const shared = (spans: LayerSpans): LayerSpans => ({
    ...spans,
    cornerLayer: sharedIndices(spans.cornerLayer),
  });
  return { skin: shared(skin), cavity: cavity && shared(cavity) };
};
