import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Manifest, Part } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import type { PartContext } from '../../../src/core/kit/rules/ruleContext.ts';
import type { Island } from '../../../src/core/layers/layerFigures.ts';
import type { OpeningFacts } from '../../../src/core/openings/opening.ts';
import type { CupLoad, LimbStretch } from '../../../src/core/physics/partLoads.ts';
import type { WallLoad } from '../../../src/core/physics/wallLoads.ts';
import { castFootprint } from '../../../src/core/plates/castFootprint.ts';
import { box } from '../../shapes.ts';

/** Facts of a part that nothing is wrong with: a hollow box of 40 × 30 × 2 mm layers, two openings. */
export function soundFacts(): PartFacts {
  const layers = 40;
  return {
    name: 'torso',
    mesh: {
      topology: {
        triangles: 12,
        vertices: 8,
        shells: 1,
        watertight: true,
        openEdges: 0,
        nonmanifoldEdges: 0,
        misorientedEdges: 0,
        degenerate: 0,
        duplicates: 0,
        signedVolume: 48000,
        area: 8000,
        bounds: { min: [-20, -15, 0], max: [20, 15, 2] },
        centroid: [0, 0, 1],
      },
      shells: [
        {
          triangles: 12,
          volume: 48000,
          bounds: { min: [-20, -15, 0], max: [20, 15, 2] },
          kind: 'body',
          overlaps: false,
          group: 0,
        },
      ],
      repaired: [],
      sound: true,
      insideOut: false,
      seams: [],
      volumeMm3: 48000.12345,
      areaMm2: 8000,
      bounds: { min: [-20, -15, 0], max: [20, 15, 40] },
      sizeMm: [40, 30, 40],
      centroid: [0, 0, 20],
      doubledWalls: [],
    },
    hollow: {
      wallMm: 1.5,
      chambers: [{ volumeMm3: 30000, centroid: [0, 0, 20], bottom: 1.5, top: 38.5 }],
      leftSolid: [],
      kept: [],
      lumps: [],
      thinnest: { wallMm: 1.49, at: [1, 2, 3] },
      deepestMm: 15,
      solidMm3: 48000,
      resinMm3: 18000,
    },
    trueWall: { sheets: [], webs: [], spikes: [], loose: [] },
    openings: [opening({}), filmDrain(38)],
    lights: [],
    layers: {
      layers,
      layerHeight: 0.05,
      area: new Float64Array(layers).fill(400),
      overhang: new Float64Array(layers),
      islands: [],
      specksLeftOut: 0,
      ceilings: [],
    },
    reach: [],
    drains: [],
    supports: null,
    footprint: castFootprint(box([40, 30, 40]), uninterrupted),
    balance: {
      shell: { massG: 20, at: [0, 0, 1] },
      fills: null,
      coats: null,
      total: { massG: 20, at: [0, 0, 1] },
    },
    loads: {
      cups: [cup({})],
      areaMm2: new Float64Array(layers).fill(390),
      cupAreaMm2: new Float64Array(layers).fill(200),
      pullN: new Float64Array(layers).fill(12),
      peakPullN: 12,
      peakPullLayer: 3,
      trappedMm3: [100],
      chamberOpenings: [['vents/0', 'drains/0']],
      curedMm3: 18000,
      liquidMm3: 19000,
      heldMm3: 5000,
      massG: 20.16,
      hours: 3.256,
      takenMm3: new Float64Array(layers).fill(6000),
      vatLowLayer: null,
      walls: [],
    },
  };
}

export function opening(
  change: Partial<OpeningFacts> & { id?: string; kind?: 'vent' | 'drain' | 'tube'; depth?: number | null },
): OpeningFacts {
  const { id = 'vents/0', kind = 'vent', depth = 4, ...facts } = change;
  return {
    decision: { id, kind, at: [1, 2, 3], diameter: 6, ...(depth !== null && { depth }) },
    placed: { id, kind, mouth: [5, 6, 0], axis: [0, 0, 1], radius: 3, depth: depth ?? 4, outward: 0.1 },
    asked: [5, 6, -0.2],
    surfaceDistanceMm: 0.2,
    facing: [0, 0, -1],
    showReachMm: null,
    chamber: 0,
    chamberDepthMm: 1.5,
    farWallDepthMm: 38.5,
    farSideDepthMm: 40,
    sideClearanceMm: 8,
    ...facts,
  };
}

/** A drain whose mouth lies `z` mm above the plate. */
export function filmDrain(z: number): OpeningFacts {
  const drain = opening({ id: 'drains/0', kind: 'drain' });
  return { ...drain, placed: { ...drain.placed!, mouth: [5, 6, z], axis: [0, 0, -1] } };
}

/** Sealed layers are those of one limb, the cup's own, unless told. */
export function cup(change: Partial<CupLoad>): CupLoad {
  const { sealedLayers = 0, fromLayer = 10, at = [0, 0, 0.5], peakAreaMm2 = 200, peakPullN = 30 } = change;
  const start = { layer: fromLayer, at };
  return {
    fromLayer: 10,
    toLayer: 39,
    sealedLayers: 0,
    sealedLimbs: sealedLayers > 0 ? [{ start, layers: sealedLayers, peakAreaMm2, peakPullN }] : [],
    joinsLayer: 10,
    breathesLayer: 14,
    peakAreaMm2: 200,
    peakAreaLayer: 20,
    peakPullN: 30,
    peakPullLayer: 11,
    breather: 'vents/0',
    heldMm3: 500,
    chamber: 0,
    at: [0, 0, 0.5],
    squeezePullN: 28,
    limitedBy: 'squeeze',
    liftStage: 1,
    neededVentMm: null,
    stretches: [stretch({})],
    ...change,
  };
}

export function stretch(change: Partial<LimbStretch>): LimbStretch {
  return {
    start: { layer: 10, at: [0, 0, 0.5] },
    passesLayer: 10,
    layers: 4,
    peakPullN: 30,
    peakPullLayer: 11,
    liftStage: 1,
    squeezePullN: 28,
    openingsPullN: 2,
    necksPullN: 0,
    squeezeFreeLayer: 13,
    ventMm: null,
    breather: 'vents/0',
    ...change,
  };
}

export function island(change: Partial<Island>): Island {
  return { layer: 20, areaMm2: 2, at: [1, 1, 1], inside: false, ...change };
}

const yaml = `kit: x
scale: { factor: 1 }
resins: { slate: { on-hand: 900 } }
parts:
  torso:
    file: parts/torso.stl
    wall: 1.5
    vents: [{ at: [1, 2, 3], diameter: 6, depth: 4 }]
    drains: [{ at: [1, 2, 9], diameter: 6, depth: 4 }]
`;

export function contextOf(
  facts: PartFacts,
  part: Partial<Part> = {},
  limits: Partial<Manifest['limits']> = {},
): PartContext {
  const manifest = parseManifest(yaml).manifest!;
  return {
    manifest: { ...manifest, limits: { ...manifest.limits, ...limits } },
    part: { ...manifest.parts[0]!, ...part },
    facts,
  };
}

/** A flat wall that bends too far under the suction that vent 0 leaves. */
export function wallLoad(change: Partial<WallLoad>): WallLoad {
  return {
    panel: {
      chamber: 0,
      shape: 'flat',
      spanMm: 84.2,
      lengthMm: 110,
      radiusMm: null,
      at: [40, 0, 12],
      outward: [1, 0, 0],
      extremes: [],
    },
    at: [40, 0, 12],
    load: 'suction',
    sealed: false,
    layer: 3,
    pressureKpa: 6.2,
    rising: false,
    stressMpa: 9,
    deflectionMm: 2.4,
    bucklesKpa: null,
    valid: true,
    strain: 2.4,
    passes: 'deflection',
    bearsKpa: 2.1,
    neededWallMm: 2.3,
    ventMm: 15.46,
    vent: 'vents/0',
    limbAt: [0, 0, 0.5],
    ...change,
  };
}
