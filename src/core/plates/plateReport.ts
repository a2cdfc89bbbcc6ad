import type { Plate } from '../kit/manifest.ts';
import { roundTo } from '../kit/rounding.ts';
import type { PlateFacts } from './plateFacts.ts';

/** A plate in `check --json`, under `plates`; null there where a part of it could not be measured. */
export interface PlateReport {
  /** By name; `at_mm` from the plate's middle to that of the part's bounding box as posed; null where it finds no room. */
  readonly parts: Readonly<Record<string, PlaceReport | null>>;
  /** Least distance asked for, and what there is between the nearest two; null of a part alone. */
  readonly gap_mm: number;
  readonly least_gap_mm: number | null;
  readonly layers: number;
  readonly height_mm: number;
  readonly hours: number;
  readonly resin_ml: number;
  readonly liquid_ml: number;
  readonly held_ml: number;
  readonly peak_pull_n: number;
  readonly peak_pull_layer: number;
  readonly vat_low_layer: number | null;
}

export interface PlaceReport {
  readonly at_mm: readonly [number, number];
  readonly spin_deg: number;
}

const ml = (mm3: number): number => roundTo(mm3 / 1000, 3);

/** `parts`: those that the facts count, in their order. mm and ml to 3 decimals, N and hours to 2. */
export function plateReport(
  { gap }: Plate,
  parts: Plate['parts'],
  { layout, loads }: PlateFacts,
  layerMm: number,
): PlateReport {
  const places = parts.map(({ part }, n): [string, PlaceReport | null] => {
    const place = layout.places[n] ?? null;
    if (place === null) return [part, null];
    const [x, y] = place.at;
    return [part, { at_mm: [roundTo(x, 3), roundTo(y, 3)], spin_deg: roundTo(place.spin, 3) }];
  });
  return {
    parts: Object.fromEntries(places),
    gap_mm: gap,
    least_gap_mm: layout.nearest && roundTo(layout.nearest.gapMm, 3),
    layers: loads.layers,
    height_mm: roundTo(loads.layers * layerMm, 3),
    hours: roundTo(loads.hours, 2),
    resin_ml: ml(loads.curedMm3),
    liquid_ml: ml(loads.liquidMm3),
    held_ml: ml(loads.heldMm3),
    peak_pull_n: roundTo(loads.peakPullN, 2),
    peak_pull_layer: loads.peakPullLayer,
    vat_low_layer: loads.vatLowLayer,
  };
}

/** One line of text. */
export function plateLine(name: string, report: PlateReport): string {
  const { parts, height_mm, hours, liquid_ml, peak_pull_n, peak_pull_layer } = report;
  const told = Object.entries(parts).map(([part, place]) => (place === null ? `${part} (no room)` : part));
  return `plate ${name}: ${told.join(', ') || 'no parts'}; ${height_mm.toFixed(1)} mm, ${hours.toFixed(1)} h, ${liquid_ml.toFixed(0)} ml liquid, pull ${peak_pull_n.toFixed(0)} N at layer ${peak_pull_layer}`;
}
