import type { Manifest, Part } from '../manifest.ts';
import type { PartFacts } from '../partFacts.ts';
import { roundTo, roundVec3 } from '../rounding.ts';
import { peelBound } from './calibrate.ts';
import type { LayerPull, PrintEntry, PrintFigures, PrintSettings } from './journal.ts';

/** What the builder tells of a print. */
export type ToldPrint = Pick<PrintEntry, 'date' | 'result' | 'layer' | 'photo' | 'words'>;

/** A print as it goes into the journal: what is told of it, with settings and figures as they stand now. */
export function printEntry(
  told: ToldPrint,
  manifest: Manifest,
  part: Part,
  facts: PartFacts,
  hashes: { readonly stl: string; readonly decisions: string },
): PrintEntry {
  return {
    part: part.name,
    ...told,
    settings: settingsOf(manifest, part, facts, hashes),
    figures: figuresOf(manifest, part, facts, told.layer),
  };
}

function settingsOf(
  { scale, machine }: Manifest,
  { turn, raise, resin }: Part,
  { hollow, supports }: PartFacts,
  { stl, decisions }: { readonly stl: string; readonly decisions: string },
): PrintSettings {
  return {
    stl: stl.slice(0, 16),
    decisions,
    factor: roundTo(scale.factor ?? 0, 6),
    turn: [...turn],
    raise_mm: raise,
    layer_mm: machine.layer,
    wall_mm: hollow.wallMm,
    resin,
    lift_up: machine.lift.up,
    exposure_s: machine.exposure.normal,
    supports: supports === null ? 'none' : 'planned',
  };
}

function figuresOf(manifest: Manifest, part: Part, facts: PartFacts, failed: number | null): PrintFigures {
  const { mesh, layers, loads } = facts;
  const holds = holdingOf(manifest, part, facts);
  const at = (layer: number): LayerPull => ({
    layer,
    pull_n: roundTo(loads.pullN[layer] ?? 0, 2),
    area_mm2: roundTo(loads.areaMm2[layer] ?? 0, 1),
    holds: timesHeld(holds, layer),
  });
  const weakest = holds === null ? null : weakestOf(holds, loads, manifest.film.peel);
  return {
    size_mm: roundVec3(mesh.sizeMm, 1),
    layers: layers.layers,
    liquid_ml: roundTo(loads.liquidMm3 / 1000, 1),
    hours: roundTo(loads.hours, 1),
    peel_kpa: manifest.film.peel,
    peak: at(loads.peakPullLayer),
    weakest: weakest === null ? null : at(weakest),
    failed: failed === null ? null : at(failed),
  };
}

/** Null where that is not known: nothing pulls, or nothing of the plan holds what pulls there. */
function timesHeld(holds: ((layer: number) => number) | null, layer: number): number | null {
  const times = holds === null ? Number.POSITIVE_INFINITY : holds(layer);
  return Number.isFinite(times) ? roundTo(times, 3) : null;
}

/**
 * How many times a layer's pull what holds it was reckoned to take, no safety in it: planned supports; or the plate,
 * of a part that stands on it without any. Null where others hold it.
 */
function holdingOf(
  manifest: Manifest,
  part: Part,
  { supports, loads }: PartFacts,
): ((layer: number) => number) | null {
  if (supports !== null) {
    const safety = part.supports?.safety ?? 1;
    return (layer) => (supports.reserve[layer] ?? Number.POSITIVE_INFINITY) * safety;
  }
  const contact = loads.areaMm2[0] ?? 0;
  if (part.raise > 0 || contact === 0) return null;
  const holdN = contact * manifest.usualSupports.plateHold * 1e-3;
  return (layer) => holdN / (loads.pullN[layer] ?? 0);
}

/** The layer that the least peel would tear off; null where nothing is printed. */
function weakestOf(
  holds: (layer: number) => number,
  { pullN, areaMm2 }: PartFacts['loads'],
  peelKpa: number,
): number | null {
  let weakest: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let layer = 0; layer < pullN.length; layer++) {
    const figures = { pull_n: pullN[layer]!, area_mm2: areaMm2[layer]!, holds: holds(layer) };
    const bound = peelBound(figures, peelKpa);
    if (bound !== null && bound < least) {
      least = bound;
      weakest = layer;
    }
  }
  return weakest;
}
