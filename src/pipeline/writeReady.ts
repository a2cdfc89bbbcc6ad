import { createHash } from 'node:crypto';
import { access, mkdir, realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { Interrupter } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { binaryStlPieces } from '../core/mesh/writeStl.ts';
import { cutterMesh } from '../core/openings/cutterMesh.ts';
import type { StopperDecision } from '../core/openings/stopper.ts';
import { failure, type Result, success } from '../core/result.ts';
import { barsOfPlan } from '../core/supports/supportBodies.ts';
import type { ReadyFile, StopperPiece, WrittenFile } from '../protocol/engineApi.ts';
import { makeReady, type ReadySolid } from '../solid/makeReady.ts';
import { shapeSupports } from '../solid/shapeSupports.ts';
import { type MadeStoppers, makeStoppers } from './makeStoppers.ts';
import { measurePart, type PartMeshes } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import { readyFileName, stopperSuffix, supportSuffix } from './readyFileName.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';
import { write3mf } from './write3mf.ts';
import { writeAside } from './writeAside.ts';

export interface ReadyRequest extends PartRequest {
  /** Absolute folder. */
  readonly out: string;
  readonly format: 'stl' | '3mf';
  /** Also write the mirror image. */
  readonly withMirrored: boolean;
  readonly asSculpted: boolean;
  readonly stoppers: readonly StopperDecision[];
  /** Absolute paths of every STL of the kit; none of them is ever written over. */
  readonly sources: readonly string[];
}

/** The written solid may differ from the measured one by the facets of its bores and by rounding. */
const volumeTolerance = 2e-3;

/** Hollowed, opened, in print pose, proven closed, written aside and renamed; the source is never touched. */
export async function writeReady(request: ReadyRequest, context: StageContext): Promise<Result<ReadyFile[]>> {
  const made = await makePart(request, context);
  return made.ok ? writeFiles(made.value, request, context) : made;
}

/** A part's solids, as they are written; print frame. */
export async function makePart(
  request: PartRequest & Pick<ReadyRequest, 'stoppers'>,
  context: StageContext,
): Promise<Result<MadePart>> {
  const measured = await measurePart(request, context, { keepMeshes: true, hashAgain: true });
  if (!measured.ok) return measured;
  const { facts, meshes } = measured.value;
  if (!facts.mesh.sound) {
    return failure(
      'solid-not-closed',
      `${request.name}: the mesh cannot be made watertight, so no ready file is written. Mend it in the sculpting program.`,
    );
  }
  const solid = await solidOf(meshes!, facts, context);
  if (!solid.ok) return solid;
  const volume = massProperties(solid.value.mesh, context.stage('weighing')).volume;
  const promised = facts.hollow.resinMm3;
  if (Math.abs(volume - promised) > volumeTolerance * promised) {
    return failure(
      'solid-failed',
      `${request.name}: the solid has ${(volume / 1000).toFixed(2)} ml where the check measured ${(promised / 1000).toFixed(2)} ml; nothing was written. Please report this part.`,
    );
  }
  const { machine, stoppers } = request;
  const plateWidthMm = machine.plate[0] - 2 * machine.margin;
  const closing = context.stage('shaping stoppers');
  const made = await makeStoppers(stoppers, facts.openings, meshes!, plateWidthMm, closing);
  const held = await supportsOf(facts, request, context);
  if (!held.ok) return held;
  return success({ ...solid.value, volume, stoppers: made, supports: held.value });
}

async function solidOf(
  meshes: PartMeshes,
  facts: PartFacts,
  context: StageContext,
): Promise<Result<ReadySolid>> {
  const cutters = facts.openings.flatMap(({ placed }) => (placed === null ? [] : [cutterMesh(placed)]));
  return makeReady(await solidKernel(), meshes.outer, meshes.cavity, cutters, context.stage('making ready'));
}

/** Null where none are planned, or nothing needs any. */
async function supportsOf(
  { supports: plan }: PartFacts,
  { supports: decision }: PartRequest,
  context: StageContext,
): Promise<Result<Mesh | null>> {
  if (plan === null || decision === null || plan.supports.length === 0) return success(null);
  return shapeSupports(await solidKernel(), barsOfPlan(plan, decision), context.stage('shaping supports'));
}

export interface MadePart extends ReadySolid {
  readonly supports: Mesh | null;
  readonly volume: number;
  readonly stoppers: MadeStoppers;
}

async function writeFiles(
  part: MadePart,
  request: ReadyRequest,
  context: StageContext,
): Promise<Result<ReadyFile[]>> {
  const interrupter = context.stage('writing');
  const written: ReadyFile[] = [];
  try {
    await mkdir(request.out, { recursive: true });
    for (const mirrored of [false, true]) {
      if (!(mirrored ? request.withMirrored : request.asSculpted)) continue;
      const { stoppers } = part;
      const file = await writeMesh(part, '', mirrored, request, interrupter);
      const plate = stoppers.mesh && { mesh: stoppers.mesh, volume: stoppers.volumeMm3 };
      const closing = plate && {
        ...(await writeMesh(plate, stopperSuffix, mirrored, request, interrupter)),
        pieces: mirrored ? stoppers.pieces.map(mirroredPiece) : stoppers.pieces,
      };
      const held = part.supports && {
        mesh: part.supports,
        volume: massProperties(part.supports, interrupter).volume,
      };
      const supports = held && (await writeMesh(held, supportSuffix, mirrored, request, interrupter));
      const notes = [...part.notes, ...stoppers.notes];
      if (closing === null) notes.push(...(await leftOver(request, mirrored, stopperSuffix, 'stoppers')));
      if (supports === null) notes.push(...(await leftOver(request, mirrored, supportSuffix, 'supports')));
      written.push({ part: request.name, ...file, mirrored, notes, stoppers: closing, supports });
    }
    return success(written);
  } catch (error) {
    if (error instanceof SourceInTheWay) return failure('option-invalid', error.message);
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failure(
      'file-unwritable',
      `${request.out} cannot be written (${code}). Check the folder's permissions and the free space.`,
    );
  }
}

/** Tells of a file beside the part that an earlier time wrote: somebody may print it, and nothing here is deleted. */
async function leftOver(
  { name, out, format }: ReadyRequest,
  mirrored: boolean,
  suffix: string,
  what: string,
): Promise<string[]> {
  const file = readyFileName(name, mirrored, suffix, format);
  const found = await access(join(out, file)).then(
    () => true,
    () => false,
  );
  return found ? [`${file} is of an earlier time: as decided now, ${name} has no ${what}.`] : [];
}

class SourceInTheWay extends Error {}

/** `volume` in mm³. */
async function writeMesh(
  solid: { readonly mesh: Mesh; readonly volume: number },
  suffix: string,
  mirrored: boolean,
  request: ReadyRequest,
  interrupter: Interrupter,
): Promise<WrittenFile> {
  const file = join(request.out, readyFileName(request.name, mirrored, suffix, request.format));
  if (await isSource(file, request.sources)) {
    throw new SourceInTheWay(
      `${file} is an STL that the kit is made from, which is never overwritten. Choose another --out.`,
    );
  }
  const mesh = mirrored ? mirrorImage(solid.mesh) : solid.mesh;
  const sum = createHash('sha256');
  let bytes = 0;
  const pieces = summed(piecesOf(mesh, `${request.name}${suffix}`, request.format, interrupter), (piece) => {
    sum.update(piece);
    bytes += piece.length;
  });
  await writeAside(file, pieces, true);
  return {
    file,
    triangles: mesh.triangles.length / 3,
    volume_ml: Math.round(solid.volume) / 1000,
    bytes,
    sha256: sum.digest('hex'),
  };
}

function* piecesOf(
  mesh: Mesh,
  name: string,
  format: ReadyRequest['format'],
  interrupter: Interrupter,
): Generator<Uint8Array> {
  if (format === '3mf') return yield write3mf(mesh, name);
  const pieces = Math.ceil(mesh.triangles.length / 3 / 2 ** 16) + 1;
  let done = 0;
  for (const piece of binaryStlPieces(mesh)) {
    interrupter(done++ / pieces);
    yield piece;
  }
}

export function* summed(
  pieces: Iterable<Uint8Array>,
  add: (piece: Uint8Array) => void,
): Generator<Uint8Array> {
  for (const piece of pieces) {
    add(piece);
    yield piece;
  }
}

const mirroredPiece = (piece: StopperPiece): StopperPiece => ({
  ...piece,
  at: [0 - piece.at[0], piece.at[1], piece.at[2]],
});

/** True when the file is one of the sources, links and letter case of the disk included. */
export async function isSource(file: string, sources: readonly string[]): Promise<boolean> {
  const target = await realFile(file);
  const real = await Promise.all(sources.map(realFile));
  return real.includes(target);
}

/** Without links; of what is not there yet, as far as it is there. */
async function realFile(path: string): Promise<string> {
  const inFolder = async () => join(await realpath(dirname(path)), basename(path));
  return realpath(path)
    .catch(inFolder)
    .catch(() => path);
}

/** x ↦ −x with facets turned round, so that it stays outward. */
function mirrorImage({ positions, triangles }: Mesh): Mesh {
  const mirrored = positions.slice();
  for (let at = 0; at < mirrored.length; at += 3) mirrored[at] = -mirrored[at]!;
  return { positions: mirrored, triangles: turnedRound(triangles) };
}
