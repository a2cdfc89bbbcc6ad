import type { Cavity } from '../core/field/cavity.ts';
import { type HollowSlice, hollowSlice, type SliceRequest } from '../core/field/hollowSlice.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { DoubledWall } from '../core/kit/partFacts.ts';
import type { LayerInput } from '../core/layers/castLayers.ts';
import type { LayerOptions } from '../core/layers/layerOptions.ts';
import type { LayerSlice } from '../core/layers/layerSlice.ts';
import { measureLayerRange } from '../core/layers/measureLayerRange.ts';
import { findDoubledWalls } from '../core/mesh/findDoubledWalls.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { weakestPanels } from '../core/physics/weakestPanels.ts';
import { castFootprint } from '../core/plates/castFootprint.ts';
import type { Footprint } from '../core/plates/footprint.ts';
import { measurePose, type PoseSetting } from '../core/pose/measurePose.ts';
import type { PoseFigures } from '../core/pose/poseFigures.ts';
import type { PoseSubject } from '../core/pose/poseSubject.ts';
import type { Tilt } from '../core/pose/tilt.ts';
import { cavityFaults } from '../core/walls/cavityFaults.ts';
import type { ThinPatch } from '../core/walls/thinPatch.ts';
import { thinSheets } from '../core/walls/thinSheets.ts';
import { wallPanels } from '../core/walls/wallPanels.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import type { FeltWalls } from './feelWalls.ts';
import { fieldKernel } from './fieldKernel.ts';

/** One piece of what is measured of a posed part. */
export type PosedWork =
  | {
      readonly kind: 'layers';
      readonly input: LayerInput;
      /** Layers from … to − 1. */
      readonly from: number;
      readonly to: number;
      readonly options: LayerOptions;
    }
  | { readonly kind: 'walls'; readonly mesh: Mesh; readonly wallMm: number };

export type PosedFound =
  | { readonly kind: 'layers'; readonly slice: LayerSlice }
  | { readonly kind: 'walls'; readonly doubled: readonly DoubledWall[] };

/** What is felt of a part's hollow: its walls in pieces, or what is thin or odd. Print mm. */
export type WallWork =
  | {
      readonly kind: 'panels';
      readonly cavity: Pick<Cavity, 'mesh' | 'facetChamber'>;
      readonly wallMm: number;
    }
  | {
      readonly kind: 'cavity';
      readonly cavity: Pick<Cavity, 'mesh' | 'facetChamber' | 'spacingMm'>;
      readonly limitMm: number;
    };

export interface SheetWork {
  /** Source frame. */
  readonly mesh: Mesh;
  readonly factor: number;
  readonly limitMm: number;
}

export interface FootprintWork {
  /** Print frame. */
  readonly mesh: Mesh;
  readonly isClosed: boolean;
}

/** Some poses of a part that are to be compared. */
export interface PoseWork {
  readonly subject: PoseSubject;
  readonly tilts: readonly Tilt[];
  readonly setting: PoseSetting;
}

/** Every task that a job may share with an idle thread (`Hands`), by name. */
export const sharedTasks = {
  hollowSlice: (request: SliceRequest, interrupter: Interrupter): HollowSlice | null =>
    hollowSlice(request, interrupter, fieldKernel()),
  measurePosed(work: PosedWork, interrupter: Interrupter): PosedFound {
    if (work.kind === 'walls') {
      return { kind: 'walls', doubled: findDoubledWalls(work.mesh, work.wallMm, interrupter) };
    }
    const { input, from, to, options } = work;
    return { kind: 'layers', slice: measureLayerRange(input, from, to, options, interrupter) };
  },
  measurePoses({ subject, tilts, setting }: PoseWork, interrupter: Interrupter): PoseFigures[] {
    return tilts.map((tilt, at) =>
      measurePose(subject, tilt, setting, portion(interrupter, at / tilts.length, (at + 1) / tilts.length)),
    );
  },
  /** Where the sculpt itself is thin; print mm. */
  feelSheets({ mesh, factor, limitMm }: SheetWork, interrupter: Interrupter): ThinPatch[] {
    return thinSheets(atFinishedSize(mesh, factor), limitMm, interrupter);
  },
  /** Of the part alone; print frame. */
  castFootprint({ mesh, isClosed }: FootprintWork, interrupter: Interrupter): Footprint {
    return castFootprint(mesh, interrupter, isClosed);
  },
  feelWall(work: WallWork, interrupter: Interrupter): Partial<FeltWalls> {
    if (work.kind === 'panels') {
      return { panels: weakestPanels(wallPanels(work.cavity, work.wallMm, interrupter), work.wallMm) };
    }
    const { mesh, facetChamber, spacingMm } = work.cavity;
    return cavityFaults(mesh, facetChamber, spacingMm, work.limitMm, interrupter);
  },
};

export type SharedTasks = typeof sharedTasks;
