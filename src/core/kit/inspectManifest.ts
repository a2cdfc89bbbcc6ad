import type { Vec3 } from '../vector.ts';
import { buildManifest } from './buildManifest.ts';
import type { Manifest } from './manifest.ts';
import { assumedResinAssumptions } from './partResin.ts';

export interface InspectDecisions {
  readonly name: string;
  readonly file: string;
  readonly factor: number;
  readonly turn: Vec3;
  readonly raise: number;
  readonly wall: number | null;
  readonly layer: number;
}

/** The manifest one STL is inspected under: the options given, and the defaults for all else. */
export function inspectManifest(options: InspectDecisions): Manifest {
  const defaults = buildManifest({
    findings: [],
    values: new Map<string, unknown>([['["machine","layer"]', options.layer]]),
    named: new Map(),
    lengths: new Map(),
  });
  return {
    ...defaults,
    kit: options.name,
    scale: { finished: null, factor: options.factor, derived: null, stylised: false },
    parts: [
      {
        name: options.name,
        file: options.file,
        cuts: [],
        body: null,
        turn: options.turn,
        raise: options.raise,
        wall: options.wall,
        supports: null,
        keepSolid: [],
        openings: [],
        lights: [],
        show: [],
        stoppers: [],
        wash: null,
        fill: null,
        coat: null,
        resin: null,
        count: 1,
        mirrored: 0,
      },
    ],
    assumptions: [...defaults.assumptions, ...assumedResinAssumptions()],
  };
}
