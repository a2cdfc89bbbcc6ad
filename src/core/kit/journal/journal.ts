/** How a print came out. Those that came off tell of holding, see `heldLess`; `failed` is any other failure. */
export const printResults = ['good', 'flawed', 'off-plate', 'off-supports', 'failed'] as const;
export type PrintResult = (typeof printResults)[number];

export const cameOut = (result: PrintResult): boolean => result === 'good' || result === 'flawed';

/** Whether what let go is what `LayerPull.holds` was reckoned of: planned supports, or else the plate. */
export const heldLess = ({ result, settings }: Pick<PrintEntry, 'result' | 'settings'>): boolean =>
  result === (settings?.supports === 'planned' ? 'off-supports' : 'off-plate');

/** One layer as it was reckoned when the print was logged. */
export interface LayerPull {
  readonly layer: number;
  /** Peel and suction together, N; solid area, mm². */
  readonly pull_n: number;
  readonly area_mm2: number;
  /** How many times that pull the supports, or the plate, were reckoned to take, no safety in it. Null where nothing is known of that. */
  readonly holds: number | null;
}

/** Decisions as they stood in the manifest. */
export interface PrintSettings {
  /** First 16 hexadecimals of the SHA-256 of the STL; hash of the decisions as in the ledger. */
  readonly stl: string;
  readonly decisions: string;
  readonly factor: number;
  readonly turn: readonly [number, number, number];
  readonly raise_mm: number;
  readonly layer_mm: number;
  /** Null = solid. */
  readonly wall_mm: number | null;
  readonly resin: string | null;
  /** mm/min; s of every layer but the base. */
  readonly lift_up: number;
  readonly exposure_s: number;
  readonly supports: 'planned' | 'none';
}

/** Figures as they were reckoned. */
export interface PrintFigures {
  readonly size_mm: readonly [number, number, number];
  readonly layers: number;
  readonly liquid_ml: number;
  readonly hours: number;
  /** The peel pressure they were reckoned with. */
  readonly peel_kpa: number;
  readonly peak: LayerPull;
  /** The layer that the least peel would tear off; null where nothing is known of what holds it. */
  readonly weakest: LayerPull | null;
  /** The layer of failure; null where none was told. */
  readonly failed: LayerPull | null;
}

/** One print. What a builder wrote by hand may lack settings and figures. */
export interface PrintEntry {
  readonly part: string;
  /** `2026-11-03`. */
  readonly date: string;
  readonly result: PrintResult;
  /** Of failure, from 0 at the plate. */
  readonly layer: number | null;
  /** Relative to the kit folder, `/` separated. */
  readonly photo: string | null;
  readonly words: string | null;
  readonly settings: PrintSettings | null;
  readonly figures: PrintFigures | null;
}
