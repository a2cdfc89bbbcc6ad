import { access } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { Interrupter } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { StopperDecision } from '../core/openings/stopper.ts';
import { type Result, success } from '../core/result.ts';
import { barsOfPlan } from '../core/supports/supportBodies.ts';
import { drawnOtherwise } from '../core/trueSize/drawnOtherwise.ts';
import type { ReadyFile, StopperPiece, WrittenFile } from '../protocol/engineApi.ts';
import { insetBase } from '../solid/insetBase.ts';
import type { ReadySolid } from '../solid/makeReady.ts';
import { shapeSupports } from '../solid/shapeSupports.ts';
import { supportPieces } from '../solid/supportPieces.ts';
import { uniteSupports } from '../solid/uniteSupports.ts';
import { intoFolder } from './intoFolder.ts';
import { type MadeStoppers, makeStoppers } from './makeStoppers.ts';
import { measurePart } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import { readyFileName, stopperSuffix, supportSuffix } from './readyFileName.ts';
import { readySolid } from './readySolid.ts';
import { type PartClearances, relieveJoints } from './relieveJoints.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';
import { type NamedSolid, writeSolids } from './writeSolids.ts';

export interface ReadyRequest extends PartRequest {
  /** Absolute folder. */
  readonly out: string;
  readonly format: 'stl' | '3mf';
  /** Supports as a solid of their own, or united with the part. */
  readonly held: 'apart' | 'together';
  /** Also write the mirror image. */
  readonly withMirrored: boolean;
  readonly asSculpted: boolean;
  readonly stoppers: readonly StopperDecision[];
  readonly clearances: PartClearances;
  /** Absolute paths of every STL of the kit; none of them is ever written over. */
  readonly sources: readonly string[];
}

/** Hollowed, opened, in print pose, proven closed, written aside and renamed; the source is never touched. */
export async function writeReady(request: ReadyRequest, context: StageContext): Promise<Result<ReadyFile[]>> {
  const made = await makePart(request, context);
  if (!made.ok) return made;
  const part = made.value;
  if (request.held === 'apart' || part.supports === null) return writeFiles(part, request, context);
  const united = await togetherWith(part.mesh, part.supports, part.facts, request, context);
  if (!united.ok) return united;
  const notes = [...part.notes, ...united.value.notes];
  return writeFiles({ ...part, ...united.value, notes }, request, context);
}

/** A part's solids, as they are written; print frame. */
export async function makePart(
  request: PartRequest & Pick<ReadyRequest, 'stoppers' | 'clearances'>,
  context: StageContext,
): Promise<Result<MadePart>> {
  const measured = await measurePart(request, context, { keepMeshes: true, hashAgain: true });
  if (!measured.ok) return measured;
  const { facts, meshes } = measured.value;
  const { trueSize } = request.resin;
  const opened = await readySolid(request.name, meshes!, facts, trueSize.boreLossMm, context);
  if (!opened.ok) return opened;
  const relieved = await relieveJoints(request, opened.value, meshes!, request.clearances, context);
  if (!relieved.ok) return relieved;
  const solid = await standing(relieved.value, request, context);
  if (!solid.ok) return solid;
  const { machine, stoppers } = request;
  const plateWidthMm = machine.plate[0] - 2 * machine.margin;
  const closing = context.stage('shaping stoppers');
  const made = await makeStoppers(stoppers, facts.openings, meshes!, plateWidthMm, closing);
  const held = await supportsOf(facts, request, context);
  if (!held.ok) return held;
  return success({ ...solid.value, facts, stoppers: made, supports: held.value });
}

type Weighed = ReadySolid & { readonly volume: number };

/** The base layers of what stands on the plate, narrower by what they spread. */
async function standing(
  solid: Weighed,
  { machine, resin }: PartRequest,
  context: StageContext,
): Promise<Result<Weighed>> {
  const { spreadMm } = resin.trueSize;
  if (spreadMm === 0) return success(solid);
  const base = { spreadMm, layers: machine.exposure.baseLayers, layerMm: machine.layer };
  const interrupter = context.stage('drawing the base');
  const inset = insetBase(await solidKernel(), solid.mesh, base, interrupter);
  if (!inset.ok) return inset;
  const { volume } = massProperties(inset.value.mesh, interrupter);
  return success({ mesh: inset.value.mesh, volume, notes: [...solid.notes, ...inset.value.notes] });
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

/** Part and supports as one solid; `volume` in mm³. */
async function togetherWith(
  part: Mesh,
  supports: Mesh,
  { supports: plan }: PartFacts,
  { supports: decision }: ReadyRequest,
  context: StageContext,
): Promise<Result<ReadySolid & { readonly volume: number }>> {
  const interrupter = context.stage('uniting supports');
  const kernel = await solidKernel();
  const pieces = supportPieces(kernel, barsOfPlan(plan!, decision!), interrupter);
  if (!pieces.ok) return pieces;
  const united = uniteSupports(kernel, part, supports, pieces.value, interrupter);
  if (!united.ok) return united;
  return success({ ...united.value, volume: massProperties(united.value.mesh, interrupter).volume });
}

export interface MadePart extends ReadySolid {
  readonly facts: PartFacts;
  readonly supports: Mesh | null;
  readonly volume: number;
  readonly stoppers: MadeStoppers;
}

function writeFiles(
  part: MadePart,
  request: ReadyRequest,
  context: StageContext,
): Promise<Result<ReadyFile[]>> {
  const interrupter = context.stage('writing');
  return intoFolder(request.out, async () => {
    const written: ReadyFile[] = [];
    for (const mirrored of [false, true]) {
      if (!(mirrored ? request.withMirrored : request.asSculpted)) continue;
      const { stoppers } = part;
      const { file, supports } = await writePart(part, mirrored, request, interrupter);
      const plate = stoppers.mesh && { mesh: stoppers.mesh, volume: stoppers.volumeMm3 };
      const closing = plate && {
        ...(await writeOne(plate, stopperSuffix, mirrored, request, interrupter)),
        pieces: mirrored ? stoppers.pieces.map(mirroredPiece) : stoppers.pieces,
      };
      const notes = [...drawnOtherwise(request.resin.trueSize), ...part.notes, ...stoppers.notes];
      const none = (what: string): string => `as decided now, ${request.name} has no ${what}`;
      if (closing === null)
        notes.push(...(await leftOver(request, mirrored, stopperSuffix, none('stoppers'))));
      const ownFile = supports !== null && supports.file !== file.file;
      const why =
        part.supports === null ? none('supports') : `the supports are in ${basename(file.file)} now`;
      if (!ownFile) notes.push(...(await leftOver(request, mirrored, supportSuffix, why)));
      const held = part.supports === null ? null : request.held;
      written.push({ part: request.name, ...file, mirrored, notes, stoppers: closing, supports, held });
    }
    return written;
  });
}

interface WrittenPart {
  readonly file: WrittenFile;
  /** Null where none are planned, or they are one solid with the part. */
  readonly supports: WrittenFile | null;
}

/** The part, and its supports: beside it as STL, in one package with it as 3MF, of one solid with it where so asked. */
async function writePart(
  part: MadePart,
  mirrored: boolean,
  request: ReadyRequest,
  interrupter: Interrupter,
): Promise<WrittenPart> {
  if (part.supports === null || request.held === 'together') {
    return { file: await writeOne(part, '', mirrored, request, interrupter), supports: null };
  }
  const { volume } = massProperties(part.supports, interrupter);
  const held = { mesh: part.supports, volume };
  if (request.format === 'stl') {
    const file = await writeOne(part, '', mirrored, request, interrupter);
    return { file, supports: await writeOne(held, supportSuffix, mirrored, request, interrupter) };
  }
  const supports: NamedSolid = { ...held, name: `${request.name}${supportSuffix}`, type: 'solidsupport' };
  const both = [{ ...part, name: request.name, type: 'model' } as const, supports];
  const [file, beside] = await writeSolids(both, '', mirrored, request, interrupter);
  return { file: file!, supports: beside! };
}

/** `volume` in mm³. */
async function writeOne(
  solid: { readonly mesh: Mesh; readonly volume: number },
  suffix: string,
  mirrored: boolean,
  request: ReadyRequest,
  interrupter: Interrupter,
): Promise<WrittenFile> {
  const named = { ...solid, name: `${request.name}${suffix}`, type: 'model' } as const;
  const [file] = await writeSolids([named], suffix, mirrored, request, interrupter);
  return file!;
}

/** Tells of a file beside the part that an earlier time wrote: somebody may print it, and nothing here is deleted. */
async function leftOver(
  { name, out, format }: ReadyRequest,
  mirrored: boolean,
  suffix: string,
  why: string,
): Promise<string[]> {
  const file = readyFileName(name, mirrored, suffix, format);
  const found = await access(join(out, file)).then(
    () => true,
    () => false,
  );
  return found ? [`${file} is of an earlier time: ${why}.`] : [];
}

const mirroredPiece = (piece: StopperPiece): StopperPiece => ({
  ...piece,
  at: [0 - piece.at[0], piece.at[1], piece.at[2]],
});
