import type { CutDecision } from '../core/cut/cutDecision.ts';
import { type CutPlane, cutPlane } from '../core/cut/cutPlane.ts';
import { type OpenHalves, openHalves } from '../core/cut/openHalves.ts';
import { placeKeys } from '../core/cut/placeKeys.ts';
import type { Seam } from '../core/cut/seam.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../core/openings/surfaceIndex.ts';

/** A part to be cut in source coordinates, and boxes over its facets, which cost as much as a cut: once for many. */
export interface CuttablePart {
  readonly mesh: Mesh;
  surface(interrupter: Interrupter): SurfaceIndex;
}

export function cuttablePart(mesh: Mesh): CuttablePart {
  let surface: SurfaceIndex | null = null;
  return {
    mesh,
    surface(interrupter) {
      surface ??= buildSurfaceIndex(mesh, interrupter);
      return surface;
    },
  };
}

/** A part cut open, with the places of its keys; no half is closed yet. */
export interface OpenCut {
  readonly plane: CutPlane;
  /** Null where all of it lies on one side. */
  readonly halves: OpenHalves | null;
  readonly seam: Seam;
}

export function openCut(
  part: CuttablePart,
  cut: CutDecision,
  factor: number,
  interrupter: Interrupter,
): OpenCut {
  const plane = cutPlane(cut.at, cut.toward);
  const halves = openHalves(part.mesh, plane, portion(interrupter, 0, 0.5));
  if (halves.back.triangles.length === 0 || halves.front.triangles.length === 0) {
    return { plane, halves: null, seam: { misses: true, areaMm2: 0, keys: [], refused: [] } };
  }
  return { plane, halves, seam: seamOf(part, plane, cut, factor, portion(interrupter, 0.5, 1)) };
}

/** The same cut with its keys placed anew, by another decision about them. */
export function withOtherKeys(
  part: CuttablePart,
  open: OpenCut,
  cut: CutDecision,
  factor: number,
  interrupter: Interrupter,
): OpenCut {
  return { ...open, seam: seamOf(part, open.plane, cut, factor, interrupter) };
}

function seamOf(
  part: CuttablePart,
  plane: CutPlane,
  cut: CutDecision,
  factor: number,
  interrupter: Interrupter,
): Seam {
  const surface = part.surface(portion(interrupter, 0, 0.3));
  return placeKeys({ mesh: part.mesh, surface, plane, factor }, cut, portion(interrupter, 0.3, 1));
}
