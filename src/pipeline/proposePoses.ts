import type { Affine } from '../core/affine.ts';
import type { Cavity } from '../core/field/cavity.ts';
import { portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { facetNormal } from '../core/openings/boreView.ts';
import { type ChosenPose, choosePoses } from '../core/pose/choosePoses.ts';
import { extremePoints } from '../core/pose/extremePoints.ts';
import { facingAreas } from '../core/pose/facingAreas.ts';
import type { PoseSetting } from '../core/pose/measurePose.ts';
import type { PoseFigures, PoseWeights } from '../core/pose/poseFigures.ts';
import type { PoseSubject } from '../core/pose/poseSubject.ts';
import { MOST_POSES, searchPoses } from '../core/pose/searchPoses.ts';
import { type SupportRoom, supportRoom } from '../core/pose/supportRoom.ts';
import type { Tilt } from '../core/pose/tilt.ts';
import { type Result, success } from '../core/result.ts';
import { movedOutline, type ShowOutline } from '../core/showSide/showOutline.ts';
import { showSide } from '../core/showSide/showSide.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import { clusterMesh } from '../core/surface/clusterMesh.ts';
import { add, scale, type Vec3 } from '../core/vector.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { layerOptions } from './layerDecisions.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import { poseOpenings } from './poseOpenings.ts';
import { posePictures } from './posePictures.ts';
import { sharedMesh } from './sharedMesh.ts';
import type { StageContext } from './stageContext.ts';

export interface ProposePosesRequest extends PartRequest {
  readonly weights: PoseWeights;
  /** By which room is kept where the part has no supports planned. */
  readonly usualSupports: SupportDecision;
  readonly withPictures: boolean;
}

/** What was found; every figure of it measured on the whole mesh. */
export interface ProposedPoses {
  /** The part's pose as it is. */
  readonly own: PoseFigures;
  readonly chosen: readonly ChosenPose[];
  /** In which it may grow most. */
  readonly roomiest: PoseFigures;
  /** How many poses were compared. */
  readonly tried: number;
  /** What each keeps free for supports, and whether the part has any planned. */
  readonly supports: SupportRoom;
  readonly isPlanned: boolean;
  /** PNGs of the part as it is, then in each chosen pose; none where none were asked for. */
  readonly pictures: readonly Uint8Array[];
}

/** Facets of the light meshes that poses are compared by, and the steps of the grid, mm. */
const LIGHT_FACETS = 30_000;
const COARSE_STEP_MM = 1;
const FINE_STEP_MM = 0.5;
/** So many pieces of work, whatever the number of threads. */
const PIECES = 8;

/** Searches the poses of a part; nothing is written. */
export async function proposePoses(
  request: ProposePosesRequest,
  context: StageContext,
): Promise<Result<ProposedPoses>> {
  return withStages(request, context, false, async (stages): Promise<Result<ProposedPoses>> => {
    const prepared = await stages.prepared();
    if (!prepared.ok) return prepared;
    const cavity = await stages.cavity();
    if (!cavity.ok) return cavity;
    const whole = wholeSubject(atFinishedSize(prepared.value.clean, request.factor), cavity.value, request);
    const light = lightSubject(whole, context);
    const [ownX, ownY, ownZ] = request.turn;
    const supports = supportRoom(request.supports ?? request.usualSupports, request.resin.greenStrength);
    const coarse = settingOf(request, supports, COARSE_STEP_MM);
    const fine = settingOf(request, supports, FINE_STEP_MM);
    const comparing = context.stage('comparing poses');
    let before = 0;
    const search = await searchPoses([ownX, ownY], request.weights, (tilts, done) => {
      const share = portion(comparing, before, done);
      before = done;
      return measured(light, tilts, coarse, context, share);
    });
    const closely = { ...whole, hull: whole.skin.positions };
    const asItIs: Tilt = [ownX, ownY, ownZ];
    const measuring = context.stage('measuring poses');
    const [own] = await measured(closely, [asItIs], asRaised(fine), context, portion(measuring, 0, 0.2));
    const told: Tilt[] = [
      asItIs,
      ...[search.roomiest, ...search.chosen.map(({ figures }) => figures)].map(tiltOf),
    ];
    const found = await measured(closely, told, fine, context, portion(measuring, 0.2, 1));
    const [withRoom, roomiest, ...others] = found as [PoseFigures, PoseFigures, ...PoseFigures[]];
    // Looked at closely some do not fit, or another one is the best at something: the part's own may be.
    const fitting = [withRoom, ...others].filter(({ fit }) => fit.fits);
    const chosen = choosePoses(fitting, request.weights, search.cost, MOST_POSES);
    const shown = request.withPictures ? [own!, ...chosen.map(({ figures }) => figures)] : [];
    return success({
      own: own!,
      roomiest,
      chosen,
      pictures: posePictures(whole.skin, shown, context.stage('drawing poses')),
      tried: search.tried,
      supports,
      isPlanned: request.supports !== null,
    });
  });
}

const tiltOf = ({ turn }: PoseFigures): Tilt => [turn[0], turn[1]];

/** Tilts in pieces, side by side; in their order. */
async function measured(
  subject: PoseSubject,
  tilts: readonly Tilt[],
  setting: PoseSetting,
  { hands }: StageContext,
  interrupter: ReturnType<StageContext['stage']>,
): Promise<PoseFigures[]> {
  const size = Math.max(1, Math.ceil(tilts.length / PIECES));
  const pieces = Array.from({ length: Math.ceil(tilts.length / size) }, (_, n) => ({
    subject,
    tilts: tilts.slice(n * size, (n + 1) * size),
    setting,
  }));
  return (await hands.share('measurePoses', pieces, interrupter)).flat();
}

function settingOf(request: PartRequest, supports: SupportRoom, stepMm: number): PoseSetting {
  const { machine, raise, film } = request;
  const [x, y] = machine.plate;
  return {
    room: [x - 2 * machine.margin, y - 2 * machine.margin, machine.height],
    raiseMm: raise,
    supports,
    layerMm: machine.layer,
    layers: layerOptions(request),
    peel: film.peel,
    stepMm,
  };
}

/** The part as the manifest has it, whatever room its supports have under it. */
const asRaised = (setting: PoseSetting): PoseSetting => ({
  ...setting,
  supports: { ...setting.supports, raiseMm: 0, holdN: Number.POSITIVE_INFINITY },
});

function wholeSubject(skin: Mesh, cavity: Cavity | null, request: PartRequest): PoseSubject {
  const { show, factor } = request;
  const hollow = cavity === null || cavity.chambers.length === 0 ? null : sharedMesh(cavity.mesh);
  return {
    skin: sharedMesh(skin),
    cavity: hollow,
    hull: extremePoints(skin.positions),
    facing: facingAreas([{ mesh: skin }, ...(hollow === null ? [] : [{ mesh: hollow, inward: true }])]),
    shown: show.length === 0 ? null : facingAreas([{ mesh: skin, counts: onShowSide(skin, show, factor) }]),
    openings: hollow === null ? [] : poseOpenings(cavity!, request),
  };
}

function lightSubject(whole: PoseSubject, context: StageContext): PoseSubject {
  const interrupter = context.stage('preparing poses');
  const light = (mesh: Mesh, from: number): Mesh =>
    sharedMesh(clusterMesh(mesh, LIGHT_FACETS, portion(interrupter, from, from + 0.5)).mesh);
  return { ...whole, skin: light(whole.skin, 0), cavity: whole.cavity && light(whole.cavity, 0.5) };
}

/** Whether a facet of a mesh at finished size is show side. */
function onShowSide(mesh: Mesh, show: readonly ShowOutline[], factor: number): (facet: number) => boolean {
  const grown: Affine = { linear: [factor, 0, 0, 0, factor, 0, 0, 0, factor], shift: [0, 0, 0] };
  const side = showSide(show.map((outline) => movedOutline(outline, grown)));
  return (facet) => {
    const facing = facetNormal(mesh, facet);
    return facing !== null && side.holds(middleOf(mesh, facet), facing);
  };
}

function middleOf({ positions, triangles }: Mesh, facet: number): Vec3 {
  const corner = (n: number): Vec3 => {
    const at = 3 * triangles[3 * facet + n]!;
    return [positions[at]!, positions[at + 1]!, positions[at + 2]!];
  };
  return scale(add(add(corner(0), corner(1)), corner(2)), 1 / 3);
}
