import { attitudeWords } from '../drainage/attitudeWords.ts';
import type { Lump } from '../field/cavity.ts';
import type { Portion } from '../filling/balance.ts';
import { footprintArea } from '../plates/footprint.ts';
import type { SupportFacts } from '../supports/supportPlan.ts';
import type { Vec3 } from '../vector.ts';
import type { ThinPatch } from '../walls/thinPatch.ts';
import type { Part } from './manifest.ts';
import { partCuts } from './partCuts.ts';
import type { PartFacts } from './partFacts.ts';
import type { PartReport, ThinReport } from './report.ts';
import { roundTo, roundVec3 } from './rounding.ts';
import { assumedPanel } from './rules/wallFlexes.ts';

/**
 * The report of one part. ml, mm and mm² to 3 decimals, N and hours to 2. `toSource` takes a
 * print-frame point into the STL's coordinates.
 */
export function buildReport(facts: PartFacts, part: Part, toSource: (at: Vec3) => Vec3): PartReport {
  const place = (at: Vec3): { at: Vec3; at_source: Vec3 } => ({
    at: roundVec3(at, 3),
    at_source: roundVec3(toSource(at), 4),
  });
  return {
    mesh: reportMesh(facts, part, place),
    hollow: reportHollow(facts, place),
    balance: reportBalance(facts, part, place),
    layers: reportLayers(facts),
    islands: facts.layers.islands.map(({ layer, areaMm2, at, inside }) => ({
      layer,
      area_mm2: roundTo(areaMm2, 3),
      ...place(at),
      inside,
    })),
    cups: reportCups(facts, place),
    walls: reportWalls(facts, place),
    supports: facts.supports && reportSupports(facts.supports, place),
    print: reportPrint(facts, part),
  };
}

const ml = (mm3: number): number => roundTo(mm3 / 1000, 3);

type Place = (at: Vec3) => { at: Vec3; at_source: Vec3 };

function reportMesh({ mesh, trueWall }: PartFacts, part: Part, place: Place): PartReport['mesh'] {
  const { topology } = mesh;
  return {
    triangles: topology.triangles,
    vertices: topology.vertices,
    shells: topology.shells,
    watertight: topology.watertight,
    open_edges: topology.openEdges,
    nonmanifold_edges: topology.nonmanifoldEdges,
    misoriented_edges: topology.misorientedEdges,
    degenerate: topology.degenerate,
    duplicates: topology.duplicates,
    volume_ml: ml(mesh.volumeMm3),
    area_mm2: roundTo(mesh.areaMm2, 3),
    size_mm: roundVec3(mesh.sizeMm, 3),
    centroid_mm: roundVec3(mesh.centroid, 3),
    repaired: mesh.repaired,
    cuts: reportCuts(mesh.seams, part, place),
    thin_sheets: reportThin(trueWall.sheets, place),
  };
}

function reportCuts(seams: PartFacts['mesh']['seams'], part: Part, place: Place): PartReport['mesh']['cuts'] {
  const cuts = partCuts(part);
  return seams.map(({ misses, areaMm2, keys }, index) => ({
    name: cuts[index]!.name,
    side: cuts[index]!.side,
    made: !misses,
    section_mm2: roundTo(areaMm2, 3),
    keys: keys.map(({ at, diameterMm }) => ({ diameter_mm: roundTo(diameterMm, 3), ...place(at) })),
  }));
}

function reportHollow(
  { hollow, trueWall, loads, reach, drains }: PartFacts,
  place: Place,
): PartReport['hollow'] {
  return {
    wall_mm: hollow.wallMm,
    solid_ml: ml(hollow.solidMm3),
    resin_ml: ml(hollow.resinMm3),
    thinnest_wall_mm: hollow.thinnest === null ? null : roundTo(hollow.thinnest.wallMm, 3),
    thinnest:
      hollow.thinnest === null
        ? null
        : { wall_mm: roundTo(hollow.thinnest.wallMm, 3), ...place(hollow.thinnest.at) },
    chambers: hollow.chambers.map(({ volumeMm3, centroid }, index) => ({
      volume_ml: ml(volumeMm3),
      openings: loads.chamberOpenings[index] ?? [],
      trapped_ml: ml(loads.trappedMm3[index] ?? 0),
      drains: reportDrain(drains[index] ?? null, place),
      reach: reportReach(reach[index] ?? null),
      ...place(centroid),
    })),
    thickest: reportThickest(hollow.lumps[0], place),
    webs: reportThin(trueWall.webs, place),
    spikes: reportThin(trueWall.spikes, place),
    loose: trueWall.loose.map(({ volumeMm3, at }) => ({ volume_ml: ml(volumeMm3), ...place(at) })),
    kept: hollow.kept.map(({ volumeMm3, centroid }) => ({ volume_ml: ml(volumeMm3), ...place(centroid) })),
    left_solid: hollow.leftSolid.map(({ volumeMm3, centroid }) => ({
      volume_ml: ml(volumeMm3),
      ...place(centroid),
    })),
  };
}

function reportDrain(
  drain: PartFacts['drains'][number],
  place: Place,
): PartReport['hollow']['chambers'][number]['drains'] {
  if (drain === null) return null;
  const { turn, down, downInPrint, better, leftMm3, retainedMm3, seconds, air, byOpening, pond, hangingMm3 } =
    drain;
  return {
    turn,
    down_source: roundVec3(down, 3),
    attitude: attitudeWords(downInPrint),
    better: better && { turn: better.turn, left_ml: ml(better.leftMm3) },
    left_ml: ml(leftMm3),
    retained_ml: ml(retainedMm3),
    seconds: seconds === null ? null : roundTo(seconds, 1),
    air,
    by_opening: byOpening.map(({ id, drainedMm3, seconds: last }) => ({
      id,
      drained_ml: ml(drainedMm3),
      seconds: roundTo(last, 1),
    })),
    pond: pond && { ml: ml(pond.volumeMm3), ...place(pond.at), holds: pond.holds },
    hanging_left_ml: ml(hangingMm3),
  };
}

function reportReach(reach: PartFacts['reach'][number]): PartReport['hollow']['chambers'][number]['reach'] {
  if (reach === null) return null;
  const { smallestOpeningMm, farthestMm, farthestAt, unlitMm3, unlitAt, unrinsedMm3, unrinsedAt } = reach;
  return {
    smallest_opening_mm: roundTo(smallestOpeningMm, 3),
    farthest_mm: roundTo(farthestMm, 1),
    farthest_at: roundVec3(farthestAt, 3),
    unlit_ml: ml(unlitMm3),
    unlit_at: unlitAt && roundVec3(unlitAt, 3),
    unrinsed_ml: ml(unrinsedMm3),
    unrinsed_at: unrinsedAt && roundVec3(unrinsedAt, 3),
  };
}

function reportBalance({ balance }: PartFacts, { fill, coat }: Part, place: Place): PartReport['balance'] {
  const { shell, fills, coats, total } = balance;
  const told = (portions: readonly Portion[]) =>
    portions.map(({ volumeMm3, massG }) => ({ volume_ml: ml(volumeMm3), mass_g: roundTo(massG, 2) }));
  return {
    shell_g: roundTo(shell.massG, 2),
    fill: fill && fills && { name: fill.name, level: fill.level, chambers: told(fills) },
    coat: coat && coats && { name: coat.name, thickness_mm: coat.thickness, chambers: told(coats) },
    total_g: roundTo(total.massG, 2),
    ...place(total.at),
  };
}

/** A ragged surface can have thousands; the largest are listed. */
const mostThin = 50;

function reportThin(patches: readonly ThinPatch[], place: Place): ThinReport[] {
  return patches.slice(0, mostThin).map(({ thicknessMm, areaMm2, at }) => ({
    thickness_mm: roundTo(thicknessMm, 3),
    area_mm2: roundTo(areaMm2, 3),
    ...place(at),
  }));
}

function reportThickest(lump: Lump | undefined, place: Place): PartReport['hollow']['thickest'] {
  if (lump === undefined) return null;
  const { thicknessMm, volumeMm3, at } = lump;
  return { thickness_mm: roundTo(thicknessMm, 3), volume_ml: ml(volumeMm3), ...place(at) };
}

function reportLayers({ layers, loads }: PartFacts): PartReport['layers'] {
  let peak = 0;
  for (let layer = 1; layer < loads.areaMm2.length; layer++) {
    if (loads.areaMm2[layer]! > loads.areaMm2[peak]!) peak = layer;
  }
  return {
    count: layers.layers,
    layer_mm: layers.layerHeight,
    peak_area_mm2: roundTo(loads.areaMm2[peak] ?? 0, 3),
    peak_area_layer: peak,
  };
}

function reportCups({ loads }: PartFacts, place: Place): PartReport['cups'] {
  return loads.cups.map((cup) => ({
    from_layer: cup.fromLayer,
    to_layer: cup.toLayer,
    sealed_layers: cup.sealedLayers,
    joins_layer: cup.joinsLayer,
    breathes_layer: cup.breathesLayer,
    peak_area_mm2: roundTo(cup.peakAreaMm2, 3),
    peak_pull_n: roundTo(cup.peakPullN, 2),
    peak_pull_layer: cup.peakPullLayer,
    breather: cup.breather,
    limited_by: cup.limitedBy,
    lift_stage: cup.liftStage,
    squeeze_pull_n: roundTo(cup.squeezePullN, 2),
    needed_diameter_mm: cup.neededVentMm === null ? null : roundTo(cup.neededVentMm, 2),
    held_ml: ml(cup.heldMm3),
    ...place(cup.at),
  }));
}

function reportWalls({ loads }: PartFacts, place: Place): PartReport['walls'] {
  return loads.walls.map((wall) => ({
    chamber: wall.panel.chamber,
    assumed: assumedPanel(wall),
    span_mm: roundTo(wall.panel.spanMm, 2),
    length_mm: roundTo(wall.panel.lengthMm, 2),
    radius_mm: wall.panel.radiusMm === null ? null : roundTo(wall.panel.radiusMm, 2),
    load: wall.load,
    sealed: wall.sealed,
    pressure_kpa: roundTo(wall.pressureKpa, 3),
    stress_mpa: roundTo(wall.stressMpa, 3),
    deflection_mm: roundTo(wall.deflectionMm, 3),
    buckles_kpa: wall.bucklesKpa === null ? null : roundTo(wall.bucklesKpa, 3),
    bears_kpa: roundTo(wall.bearsKpa, 3),
    valid: wall.valid,
    strain: roundTo(wall.strain, 3),
    layer: wall.layer,
    ...place(wall.at),
    needed_wall_mm: wall.strain > 1 ? wall.neededWallMm : null,
    needed_vent_mm: wall.ventMm === null ? null : roundTo(wall.ventMm, 2),
  }));
}

function reportSupports(
  { supports, ties, unreached, volumeMm3, spacingMm, heldSlopeDeg, worst }: SupportFacts,
  place: Place,
): PartReport['supports'] {
  return {
    count: supports.length,
    on_part: supports.filter(({ stands }) => stands === 'part').length,
    ties: ties.length,
    unheld: unreached.length,
    resin_ml: ml(volumeMm3),
    spacing_mm: roundTo(spacingMm, 3),
    held_slope_deg: roundTo(heldSlopeDeg, 1),
    reserve: worst && roundTo(worst.reserve, 3),
    reserve_layer: worst === null ? null : worst.layer,
    tips: supports.map(({ contact, tipMm, strutMm, freeMm, loadN, loadLayer, stands, line }) => ({
      ...place(contact.at),
      layer: contact.layer,
      tip_mm: roundTo(tipMm, 3),
      strut_mm: roundTo(strutMm, 3),
      free_mm: roundTo(freeMm, 3),
      load_n: roundTo(loadN, 3),
      load_layer: loadLayer,
      stands,
      foot: roundVec3(line.at(-1)!, 3),
      on_show: contact.onShow,
      by_hand: contact.byHand,
    })),
  };
}

function reportPrint({ loads, footprint }: PartFacts, { count, mirrored }: Part): PartReport['print'] {
  return {
    resin_ml: ml(loads.curedMm3),
    liquid_ml: ml(loads.liquidMm3),
    held_ml: ml(loads.heldMm3),
    mass_g: roundTo(loads.massG, 2),
    hours: roundTo(loads.hours, 2),
    peak_pull_n: roundTo(loads.peakPullN, 2),
    peak_pull_layer: loads.peakPullLayer,
    vat_low_layer: loads.vatLowLayer,
    footprint_mm2: roundTo(footprintArea(footprint), 1),
    count,
    mirrored,
  };
}
