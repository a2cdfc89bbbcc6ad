import type { CutDecision, CutSide } from '../core/cut/cutDecision.ts';
import { type CutPlane, inPlane } from '../core/cut/cutPlane.ts';
import { type KeyFacets, keyFacets } from '../core/cut/keyFacets.ts';
import { type Frustum, plugShape, socketShape } from '../core/cut/keyShape.ts';
import type { OpenHalves } from '../core/cut/openHalves.ts';
import type { Seam, SeamKey } from '../core/cut/seam.ts';
import { portion } from '../core/interrupter.ts';
import { classifyShells } from '../core/mesh/classifyShells.ts';
import { closedSurface } from '../core/mesh/closedSurface.ts';
import { labelShells } from '../core/mesh/labelShells.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { repairMesh } from '../core/mesh/repairMesh.ts';
import { reportTopology } from '../core/mesh/topology.ts';
import { type Result, success } from '../core/result.ts';
import { closeHalf } from '../solid/closeHalf.ts';
import { separateVertices } from '../solid/separateVertices.ts';
import { cuttablePart, type OpenCut, openCut } from './openCut.ts';
import type { PreparedMesh } from './prepareMesh.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';

/** Both halves of a part, made together since the work is nearly the same. */
export type CutMesh = Readonly<Record<CutSide, PreparedMesh>>;

/**
 * Cuts a part in two and gives each half its keys. A part that a cut misses stays whole on either side,
 * with a seam that says so; one that is not sound, or cannot be cut, stays whole and unsound.
 */
export async function cutMesh(
  prepared: PreparedMesh,
  cut: CutDecision,
  factor: number,
  context: StageContext,
): Promise<Result<CutMesh>> {
  if (!prepared.sound) return success({ back: prepared, front: prepared });
  const open = openCut(cuttablePart(prepared.clean), cut, factor, context.stage('cutting'));
  return success(await closeCut(prepared, open, cut, factor, context));
}

/** Both halves of a part that is cut open, closed with their keys. */
export async function closeCut(
  prepared: PreparedMesh,
  { plane, halves, seam }: OpenCut,
  cut: CutDecision,
  factor: number,
  context: StageContext,
): Promise<CutMesh> {
  if (halves === null) {
    const missed = withSeam(prepared, seam);
    return { back: missed, front: missed };
  }
  const back = await half(prepared, halves, 'back', plane, seam, cut, factor, context);
  const front = await half(prepared, halves, 'front', plane, seam, cut, factor, context);
  return { back, front };
}

const withSeam = (prepared: PreparedMesh, seam: Seam): PreparedMesh => ({
  ...prepared,
  seams: [...prepared.seams, seam],
});

async function half(
  prepared: PreparedMesh,
  halves: OpenHalves,
  side: CutSide,
  plane: CutPlane,
  seam: Seam,
  cut: CutDecision,
  factor: number,
  context: StageContext,
): Promise<PreparedMesh> {
  const keys = seam.keys.map((key) => facetsOf(key, plane, cut, side, factor));
  const closed = closeHalf(await solidKernel(), halves, side, plane, keys);
  if (!closed.ok) {
    const repaired = [...prepared.repaired, `the part could not be cut (${closed.error.message})`];
    return { ...withSeam(prepared, seam), repaired, sound: false };
  }
  return withSeam(measuredHalf(prepared, closed.value, context), seam);
}

function facetsOf(key: SeamKey, plane: CutPlane, cut: CutDecision, side: CutSide, factor: number): KeyFacets {
  const plug = plugShape(cut.key, key.diameterMm);
  const shape = side === 'back' ? plug : socketShape(plug, cut.clearance);
  const [x, y] = inPlane(plane, key.at);
  return keyFacets(plane, x, y, atSourceSize(shape, factor));
}

const atSourceSize = ({ baseRadius, endRadius, length }: Frustum, factor: number): Frustum => ({
  baseRadius: baseRadius / factor,
  endRadius: endRadius / factor,
  length: length / factor,
});

/** A half as if it had been read: proven closed, and taken apart where only a point joined it. */
function measuredHalf(prepared: PreparedMesh, closed: Mesh, context: StageContext): PreparedMesh {
  const closing = context.stage('closing the cut');
  const isClosed = closedSurface(closed, portion(closing, 0, 0.3)) !== null;
  const mended = isClosed ? closed : repairMesh(closed, portion(closing, 0.3, 0.5)).mesh;
  const mesh = separateVertices(mended);
  const topology = reportTopology(mesh, portion(closing, 0.5, 0.8));
  const { shells } = classifyShells(mesh, labelShells(mesh), portion(closing, 0.8, 1), topology);
  const { watertight: sound } = topology;
  return { ...prepared, mended: mesh, clean: mesh, topology, isAsReported: true, shells, sound };
}
