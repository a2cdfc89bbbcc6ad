import type { CutDecision, CutSide } from '../core/cut/cutDecision.ts';
import { fitOf, type HalfFit, turnsToTry } from '../core/cut/halfFit.ts';
import { type HalfRoom, type HeldHalf, heldHalf } from '../core/cut/heldHalf.ts';
import { lightsByHalf } from '../core/cut/lightsByHalf.ts';
import { tubesToCut } from '../core/cut/lightsCut.ts';
import { principalAxes } from '../core/cut/principalAxes.ts';
import type { Seam } from '../core/cut/seam.ts';
import { type SplitPlane, searchSplits } from '../core/cut/searchSplits.ts';
import { roundVec3 } from '../core/kit/rounding.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import { supportRoom } from '../core/pose/supportRoom.ts';
import { failure, type Result, success } from '../core/result.ts';
import { showSide } from '../core/showSide/showSide.ts';
import { sourceRounding } from '../core/sourceRounding.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { Vec3 } from '../core/vector.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { closeCut } from './cutMesh.ts';
import { withStages } from './measurePart.ts';
import { type CuttablePart, cuttablePart, type OpenCut, openCut, withOtherKeys } from './openCut.ts';
import type { PartRequest } from './partRequest.ts';
import type { PreparedMesh } from './prepareMesh.ts';
import type { StageContext } from './stageContext.ts';

export interface ProposeSplitRequest extends PartRequest {
  /** Keys and clearance as a cut has them that says nothing of them. */
  readonly usual: Omit<CutDecision, 'at' | 'toward' | 'lights'>;
  /** By which room is kept where the part has no supports planned. */
  readonly usualSupports: SupportDecision;
}

/** A cut as it was made and measured. */
export interface MadeSplit {
  readonly plane: SplitPlane;
  readonly cut: CutDecision;
  readonly seam: Seam;
  /** Of each light of the part the halves that it runs in. */
  readonly lights: readonly { readonly name: string; readonly halves: readonly CutSide[] }[];
  readonly back: MadeHalf;
  readonly front: MadeHalf;
}

export interface MadeHalf {
  readonly fit: HeldHalf;
  readonly volumeMm3: number;
  readonly pieces: number;
}

export interface ProposedSplits {
  /** As it is turned. */
  readonly own: HalfFit;
  /** A turn of the whole, by quarter turns, in which it would fit; null where there is none. */
  readonly otherwise: Vec3 | null;
  /** Of the whole. */
  readonly pieces: number;
  /** The first is the best. */
  readonly splits: readonly MadeSplit[];
  readonly compared: number;
}

/** Of the planes compared so many are really cut, and told. */
const MOST_MADE = 3;
/** What a missing key and a piece that falls off cost beside what the search weighs. Engineering choice. */
const KEY_COST = 1;
const PIECE_COST = 0.5;

/** Looks for the cut by which a part comes to fit the machine in two halves; nothing is written. */
export async function proposeSplit(
  request: ProposeSplitRequest,
  context: StageContext,
): Promise<Result<ProposedSplits>> {
  return withStages(request, context, false, async (stages): Promise<Result<ProposedSplits>> => {
    const prepared = await stages.prepared();
    if (!prepared.ok) return prepared;
    if (!prepared.value.sound)
      return failure('solid-not-closed', 'its mesh is not closed, so it cannot be cut; mend it first.');
    const { turn, factor, show, usual } = request;
    const room = roomOf(request);
    const mesh = prepared.value.clean;
    const own = fitOf(mesh.positions, [turn], room, factor);
    const axes = principalAxes(mesh);
    const turns = turnsToTry(turn, axes);
    const other = fitOf(mesh.positions, turns, room, factor);
    const pieces = piecesOf(prepared.value);
    const told = { own, otherwise: other.fits ? other.turn : null, pieces };
    if (own.fits) return success({ ...told, splits: [], compared: 0 });
    const { best, compared } = searchSplits(
      {
        mesh,
        axes,
        factor,
        turn,
        room,
        show: show.length === 0 ? null : showSide(show),
        plugMm: usual.key.length,
        tubes: tubesToCut(request.lights, factor),
      },
      context.stage('comparing cuts'),
    );
    const part = cuttablePart(mesh);
    const splits: MadeSplit[] = [];
    for (const plane of best.slice(0, MOST_MADE)) {
      const made = await makeSplit(prepared.value, part, plane, { ...request, turns }, context);
      if (made !== null) splits.push(made);
    }
    const order = (a: MadeSplit, b: MadeSplit): number => byWorth(a, b, pieces);
    const fitting = splits.filter(bothFit);
    const offered = (fitting.length > 0 ? fitting : splits).sort(order);
    return success({ ...told, splits: offered, compared });
  });
}

const roomOf = ({ machine, raise }: PartRequest): Vec3 => [
  machine.plate[0] - 2 * machine.margin,
  machine.plate[1] - 2 * machine.margin,
  machine.height - raise,
];

const bothFit = ({ back, front }: MadeSplit): boolean => back.fit.fits && front.fit.fits;

const piecesOf = ({ shells }: PreparedMesh): number => new Set(shells.map(({ group }) => group)).size;

const bothHeld = ({ back, front }: MadeSplit): boolean => back.fit.fitsHeld && front.fit.fitsHeld;

/**
 * Of cuts that are enough those whose halves have room for supports, then the cheaper; of others the one that leaves least
 * too large. `pieces`: of the whole.
 */
function byWorth(a: MadeSplit, b: MadeSplit, pieces: number): number {
  if (bothHeld(a) !== bothHeld(b)) return bothHeld(a) ? -1 : 1;
  if (bothFit(a)) return costOf(a, pieces) - costOf(b, pieces);
  const wanting = ({ back, front }: MadeSplit): number => -Math.min(back.fit.growth, front.fit.growth);
  return wanting(a) - wanting(b);
}

function costOf({ plane, seam, back, front }: MadeSplit, pieces: number): number {
  const missing = seam.refused.reduce((sum, { count }) => sum + count, 0);
  return plane.cost + KEY_COST * missing + PIECE_COST * (back.pieces + front.pieces - pieces - 1);
}

/** Null where the plane, rounded as it is written, cuts nothing. */
async function makeSplit(
  prepared: PreparedMesh,
  part: CuttablePart,
  plane: SplitPlane,
  request: ProposeSplitRequest & { readonly turns: readonly Vec3[] },
  context: StageContext,
): Promise<MadeSplit | null> {
  const { factor, usual, turns } = request;
  const at = sourceRounding(factor)(plane.at);
  const planned: CutDecision = { at, toward: roundVec3(plane.toward, 4), ...usual, lights: request.lights };
  const { cut, open } = withRoomForKeys(part, planned, factor, context);
  if (open.halves === null) return null;
  const halves = await closeCut(prepared, open, cut, factor, context);
  if (!halves.back.sound || !halves.front.sound) return null;
  const { seam } = open;
  const half = (made: PreparedMesh): MadeHalf => {
    const volumeMm3 = massProperties(made.clean, context.stage('weighing')).volume * factor ** 3;
    return {
      fit: heldHalf(atFinishedSize(made.clean, factor), volumeMm3, turns, halfRoom(request)),
      volumeMm3,
      pieces: piecesOf(made),
    };
  };
  const lights = lightsByHalf(request.lights, part.surface(context.stage('following lights')), open.plane);
  return { plane, cut, seam, lights, back: half(halves.back), front: half(halves.front) };
}

function halfRoom(request: ProposeSplitRequest): HalfRoom {
  const { machine, raise, film, limits, resin, supports, usualSupports } = request;
  const [x, y] = machine.plate;
  return {
    room: [x - 2 * machine.margin, y - 2 * machine.margin, machine.height],
    raiseMm: raise,
    supports: supportRoom(supports ?? usualSupports, resin.greenStrength),
    isPlanned: supports !== null,
    layerMm: machine.layer,
    selfSupportDeg: limits.selfSupport,
    peel: film.peel,
  };
}

/** Where keys of the usual width have no room, narrower ones are taken if those have. */
function withRoomForKeys(
  part: CuttablePart,
  planned: CutDecision,
  factor: number,
  context: StageContext,
): { readonly cut: CutDecision; readonly open: OpenCut } {
  const open = openCut(part, planned, factor, context.stage('cutting'));
  const narrower = open.seam.refused[0]?.fitsMm ?? null;
  if (narrower === null) return { cut: planned, open };
  const cut = { ...planned, key: { ...planned.key, diameter: narrower } };
  return { cut, open: withOtherKeys(part, open, cut, factor, context.stage('placing keys')) };
}
