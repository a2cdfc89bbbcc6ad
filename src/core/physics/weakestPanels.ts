import type { WallPanel } from '../walls/wallPanel.ts';
import { constants } from './constants.ts';
import { panelState } from './panelStrength.ts';

/** A resin of middling stiffness and strength, MPa: enough to tell the weak panels from the strong. */
const MIDDLING = { strength: 15, modulus: 800 };
/** Panels kept at most. */
const MOST_PANELS = 80;
/** One that uses less of its strength under one atmosphere is never told. */
const LEAST_SHARE = 0.1;

/** The panels that an atmosphere would strain most, in their own order: what later loads are held against. */
export function weakestPanels(panels: readonly WallPanel[], wallMm: number): WallPanel[] {
  const kpa = constants.atmosphere.value * 1e-3;
  const ranked = panels.map((panel, n) => {
    const { stressMpa, bucklesKpa, deflectionMm } = panelState(panel, kpa, { wallMm, ...MIDDLING });
    const buckling = bucklesKpa === null ? 0 : kpa / bucklesKpa;
    return { panel, n, share: Math.max(stressMpa / MIDDLING.strength, buckling, deflectionMm / wallMm) };
  });
  return ranked
    .filter(({ share }) => share >= LEAST_SHARE)
    .sort((a, b) => b.share - a.share || a.n - b.n)
    .slice(0, MOST_PANELS)
    .sort((a, b) => a.n - b.n)
    .map(({ panel }) => panel);
}
