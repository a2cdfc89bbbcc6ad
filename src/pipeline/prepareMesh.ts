import type { Seam } from '../core/cut/seam.ts';
import { portion } from '../core/interrupter.ts';
import { classifyShells } from '../core/mesh/classifyShells.ts';
import { labelShells } from '../core/mesh/labelShells.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { readMesh } from '../core/mesh/readMesh.ts';
import { repairMesh } from '../core/mesh/repairMesh.ts';
import { reportTopology } from '../core/mesh/topology.ts';
import type { ShellFacts, TopologyReport } from '../core/mesh/topologyReport.ts';
import { type Result, success } from '../core/result.ts';
import { uniteShells } from '../solid/uniteShells.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';

/** A part's mesh in source units, made fit for measuring. */
export interface PreparedMesh {
  /** Mended, outward, but shells may still overlap. */
  readonly mended: Mesh;
  /** Winding 0 and 1 only: what is measured and exported. The same object as `mended` when that is clean. */
  readonly clean: Mesh;
  readonly topology: TopologyReport;
  /** `topology` tells of `clean`: nothing had to be mended since. */
  readonly isAsReported: boolean;
  readonly shells: readonly ShellFacts[];
  readonly repaired: readonly string[];
  readonly sound: boolean;
  readonly insideOut: boolean;
  /** Of the cuts that it was left by, in their order; source coordinates. */
  readonly seams: readonly Seam[];
}

/** Bytes of an STL → a closed, outward mesh whose shells do not overlap, with all that was found on the way. */
export async function prepareMesh(
  bytes: Uint8Array,
  maxTriangles: number,
  context: StageContext,
): Promise<Result<PreparedMesh>> {
  const welding = context.stage('welding');
  const read = readMesh(bytes, { maxTriangles }, portion(welding, 0, 0.7));
  if (!read.ok) return read;
  const { mesh } = read.value;
  const topology = reportTopology(mesh, portion(welding, 0.7, 1));
  const mending = context.stage('mending');
  const repair = repairMesh(mesh, portion(mending, 0, 0.5), topology.signedVolume);
  const { mesh: mended, repaired, sound, insideOut } = repair;
  const isAsReported = mended === mesh;
  const { shells, needsUnion } = classifyShells(
    mended,
    labelShells(mended),
    portion(mending, 0.5, 1),
    isAsReported ? topology : undefined,
  );
  const prepared: PreparedMesh = {
    mended,
    clean: mended,
    topology,
    isAsReported,
    shells,
    repaired,
    sound,
    insideOut,
    seams: [],
  };
  return sound && needsUnion ? unite(prepared, context) : success(prepared);
}

async function unite(prepared: PreparedMesh, context: StageContext): Promise<Result<PreparedMesh>> {
  const united = await uniteShells(await solidKernel(), prepared.mended, context.stage('uniting shells'));
  if (!united.ok) {
    const repaired = [
      ...prepared.repaired,
      `overlapping shells could not be united (${united.error.message})`,
    ];
    return success({ ...prepared, repaired, sound: false });
  }
  const repaired = [...prepared.repaired, 'overlapping shells united'];
  return success({ ...prepared, clean: united.value, isAsReported: false, repaired });
}
