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
import { type CavityFaults, cavityFaults } from '../core/walls/cavityFaults.ts';
import type { ThinPatch } from '../core/walls/thinPatch.ts';
import { thinSheets } from '../core/walls/thinSheets.ts';
import type { WallPanel } from '../core/walls/wallPanel.ts';
import { wallPanels } from '../core/walls/wallPanels.ts';
import { atFinishedSize } from './atFinishedSize.ts';
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

export interface SheetWork {
  /** Source frame. */
  readonly mesh: Mesh;
  readonly factor: number;
  /** Where it is known. */
  readonly areaMm2: number | null;
  readonly limitMm: number;
}

/** Source axes at finished size. */
export interface PanelWork extends Pick<Cavity, 'mesh' | 'facetChamber'> {
  readonly wallMm: number;
}

/** Source axes at finished size. */
export interface FaultWork extends Pick<Cavity, 'mesh' | 'facetChamber' | 'spacingMm'> {
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
  feelSheets({ mesh, factor, areaMm2, limitMm }: SheetWork, interrupter: Interrupter): ThinPatch[] {
    return thinSheets(atFinishedSize(mesh, factor), limitMm, interrupter, areaMm2);
  },
  /** Of the part alone; print frame. */
  castFootprint({ mesh, isClosed }: FootprintWork, interrupter: Interrupter): Footprint {
    return castFootprint(mesh, interrupter, isClosed);
  },
  /** The weakest walls of the hollows. */
  feelPanels({ wallMm, ...cavity }: PanelWork, interrupter: Interrupter): WallPanel[] {
    return weakestPanels(wallPanels(cavity, wallMm, interrupter), wallMm);
  },
  feelFaults({ mesh, facetChamber, spacingMm, limitMm }: FaultWork, interrupter: Interrupter): CavityFaults {
    return cavityFaults(mesh, facetChamber, spacingMm, limitMm, interrupter);
  },
};

export type SharedTasks = typeof sharedTasks;
