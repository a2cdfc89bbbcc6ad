import type { LayerPull, PrintEntry, PrintFigures } from '../../../src/core/kit/journal/journal.ts';

export const pull = (change: Partial<LayerPull> = {}): LayerPull => ({
  layer: 40,
  pull_n: 20,
  area_mm2: 2000,
  holds: 1.5,
  ...change,
});

type PrintChange = Partial<Omit<PrintEntry, 'figures'>> & { readonly figures?: Partial<PrintFigures> | null };

export const print = ({ figures, ...change }: PrintChange = {}): PrintEntry => ({
  part: 'torso',
  date: '2026-11-03',
  result: 'good',
  layer: null,
  photo: null,
  words: null,
  settings: {
    stl: 'a0b1c2d3e4f50617',
    decisions: '0123456789abcdef',
    factor: 3.4,
    turn: [0, 30, 0],
    raise_mm: 0,
    layer_mm: 0.05,
    wall_mm: null,
    resin: 'slate',
    lift_up: 60,
    exposure_s: 2.5,
    supports: 'none',
  },
  figures:
    figures === null
      ? null
      : {
          size_mm: [40, 30, 90],
          layers: 1800,
          liquid_ml: 52.3,
          hours: 7.5,
          peel_kpa: 10,
          peak: pull(),
          weakest: pull(),
          failed: null,
          ...figures,
        },
  ...change,
});
