import { applyAffine } from '../core/affine.ts';
import { portion } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { figure, plural } from '../core/kit/rules/figures.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { closestOnSurface } from '../core/openings/closestOnSurface.ts';
import { buildSurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { printTime } from '../core/physics/printTime.ts';
import { liquidVolume } from '../core/physics/resinAmounts.ts';
import { choosePlace } from '../core/proof/choosePlace.ts';
import type { PieceSetting } from '../core/proof/pieceFigures.ts';
import { type ProofBoxes, proofBoxes } from '../core/proof/proofBoxes.ts';
import type { ProofAsk, ProofPlace } from '../core/proof/proofPlace.ts';
import { failure, type Result, success } from '../core/result.ts';
import { drawnOtherwise } from '../core/trueSize/drawnOtherwise.ts';
import type { Vec3 } from '../core/vector.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { type ProofPiece, proofPiece } from '../solid/proofPiece.ts';
import { windingsAt } from '../solid/windingsAt.ts';
import { intoFolder } from './intoFolder.ts';
import { layerOptions } from './layerDecisions.ts';
import { measurePart } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import { proofSuffix } from './readyFileName.ts';
import { readySolid } from './readySolid.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';
import { type ReadyTarget, writeSolids } from './writeSolids.ts';

export interface ProofRequest extends PartRequest, Omit<ReadyTarget, 'name' | 'resin'> {
  /** Places in source coordinates; null = the worst region. */
  readonly ask: ProofAsk | null;
  /** mm along each side; null = as the place asks. */
  readonly sizeMm: number | null;
  /** kPa, of the part's supports or the default. */
  readonly plateHold: number;
}

/** What was written, and of what. Figures of the piece; print frame of the part. */
export interface WrittenProof {
  readonly place: ProofPlace;
  readonly sizeMm: number;
  readonly piece: Omit<ProofPiece, 'mesh'>;
  readonly file: WrittenFile;
  readonly liquidMm3: number;
  readonly hours: number;
  /** N: peel of the piece's largest layer, and the part's greatest whole pull in the layers of the piece. */
  readonly peelN: number;
  readonly partPullN: number;
  readonly notes: readonly string[];
}

/** How far from the surface a place may be that was asked for, as for an opening, print mm. */
const offSurfaceMm = 2;

/** A small piece of the ready part round the place in doubt, written aside and renamed. */
export async function writeProof(
  request: ProofRequest,
  context: StageContext,
): Promise<Result<WrittenProof & Pick<PartMeasured, 'frame'>>> {
  const measured = await measurePart(request, context, { keepMeshes: true, hashAgain: true });
  if (!measured.ok) return measured;
  const { facts, frame, meshes } = measured.value;
  const { ask } = request;
  const asked: ProofAsk | null =
    ask?.kind === 'place' ? { kind: 'place', at: applyAffine(frame, ask.at) } : ask;
  const isOn =
    asked?.kind === 'place' ? onPart(meshes!.outer, asked.at, request.name, context) : success(null);
  if (!isOn.ok) return isOn;
  const place = choosePlace(facts, request.limits, asked);
  if (!place.ok) return place;
  const boxes = proofBoxes(place.value, request.sizeMm, request.machine.layer);
  if (!boxes.ok) return boxes;
  const { boreLossMm } = request.resin.trueSize;
  const solid = await readySolid(request.name, meshes!, facts, boreLossMm, context);
  if (!solid.ok) return solid;
  const cutting = context.stage('cutting the piece');
  const kernel = await solidKernel();
  const piece = proofPiece(
    kernel,
    solid.value.mesh,
    place.value,
    boxes.value,
    pieceSetting(request),
    cutting,
  );
  if (!piece.ok) return piece;
  const file = await written(piece.value, request, context);
  if (!file.ok) return file;
  const told = toldOf(place.value, boxes.value, piece.value, facts, request);
  return success({
    ...told,
    file: file.value,
    frame,
    notes: [
      ...drawnOtherwise({ ...request.resin.trueSize, spreadMm: 0 }),
      ...solid.value.notes,
      ...told.notes,
    ],
  });
}

type PartMeasured = Extract<Awaited<ReturnType<typeof measurePart>>, { ok: true }>['value'];

/** Whether a place is within the part or as near to it as an opening has to be. */
function onPart(outer: Mesh, at: Vec3, name: string, context: StageContext): Result<null> {
  const looking = context.stage('finding the place');
  if (windingsAt(outer, [at], portion(looking, 0, 0.3))[0]! > 0) return success(null);
  const { distanceMm } = closestOnSurface(buildSurfaceIndex(outer, portion(looking, 0.3, 1)), at);
  if (distanceMm <= offSurfaceMm) return success(null);
  return failure(
    'place-outside',
    `The place lies ${figure(distanceMm, 'mm')} outside ${name}. --at takes a point on or in the part in the STL’s own coordinates, as \`at\` of an opening in kit.yaml.`,
  );
}

const pieceSetting = (request: ProofRequest): PieceSetting => ({
  ...layerOptions(request),
  layerMm: request.machine.layer,
  leastMm2: request.limits.island,
  peelKpa: request.film.peel,
  plateHoldKpa: request.plateHold,
});

function written(
  { mesh, volumeMm3 }: ProofPiece,
  request: ProofRequest,
  context: StageContext,
): Promise<Result<WrittenFile>> {
  const solid = { mesh, volume: volumeMm3, name: `${request.name}${proofSuffix}`, type: 'model' } as const;
  return intoFolder(request.out, async () => {
    const [file] = await writeSolids([solid], proofSuffix, false, request, context.stage('writing'));
    return file!;
  });
}

function toldOf(
  place: ProofPlace,
  { sizeMm, holdsAll }: ProofBoxes,
  { mesh: _, ...piece }: ProofPiece,
  { layers, loads }: PartFacts,
  { machine, film, resin }: ProofRequest,
): Omit<WrittenProof, 'file'> {
  const ofPiece = [piece.box.min[2], piece.box.max[2]].map((z) => Math.round(z / layers.layerHeight));
  const peelN = film.peel * 1e-3 * piece.figures.peakMm2;
  const partPullN = loads.pullN.subarray(ofPiece[0], ofPiece[1]).reduce((a, b) => Math.max(a, b), 0);
  return {
    place,
    sizeMm,
    piece,
    liquidMm3: liquidVolume(piece.volumeMm3, resin),
    hours: printTime(piece.figures.layers, machine.lift, machine.exposure) / 3600,
    peelN,
    partPullN,
    notes: [...piece.notes, ...notesOf(piece, holdsAll), pulls(peelN, partPullN)],
  };
}

function notesOf({ figures, others, othersMm3 }: Omit<ProofPiece, 'mesh'>, holdsAll: boolean): string[] {
  const { stands, standsMm2, islands } = figures;
  return [
    ...(holdsAll ? [] : ['The piece shows a part of it: what spans less bears more.']),
    ...(others === 0
      ? []
      : [
          `${plural(others, 'loose body', 'loose bodies')} of ${figure(othersMm3 / 1000, 'ml')} in the box ${others === 1 ? 'was' : 'were'} left out: nothing in the box holds ${others === 1 ? 'it' : 'them'}.`,
        ]),
    ...(stands
      ? []
      : [`It stands on ${figure(standsMm2, 'mm²')} only, which may not hold: give it a raft in the slicer.`]),
    ...(islands.length === 0
      ? []
      : [
          `${plural(islands.length, 'region')} of it ${islands.length === 1 ? 'starts' : 'start'} in air, the first in layer ${islands[0]!.layer}: hold them with supports.`,
        ]),
  ];
}

/** A cut opens every hollow: the suction of a cup is not in a piece. */
const pulls = (pieceN: number, partN: number): string =>
  `The film pulls at the piece with ${figure(pieceN, 'N')} at most, at the part with up to ${figure(partN, 'N')} in these layers: the piece shows the shape, not the suction of the whole hollow.`;
