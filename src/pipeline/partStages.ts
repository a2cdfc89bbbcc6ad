import { afterScaling, applyAffine, invertSimilarity, transformMesh } from '../core/affine.ts';
import { buildChamberCells } from '../core/chambers/buildChamberCells.ts';
import { buildChamberColumns } from '../core/chambers/buildChamberColumns.ts';
import { buildChamberNetwork } from '../core/chambers/buildChamberNetwork.ts';
import { cellLookup } from '../core/chambers/cellLookup.ts';
import type { ChamberCells } from '../core/chambers/chamberCells.ts';
import type { ChamberColumns } from '../core/chambers/chamberColumns.ts';
import type { ChamberNetwork } from '../core/chambers/chamberNetwork.ts';
import type { LimbLobes } from '../core/chambers/limbLobes.ts';
import { limbLobesOf } from '../core/chambers/limbLobesOf.ts';
import { lobeAt } from '../core/chambers/lobeAt.ts';
import { blockChamber } from '../core/drainage/blockChamber.ts';
import type { PosedDrain } from '../core/drainage/chamberDrain.ts';
import { withVolume } from '../core/drainage/withVolume.ts';
import type { Cavity } from '../core/field/cavity.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { lightBores } from '../core/lights/lightBores.ts';
import type { LightFacts } from '../core/lights/lightPasses.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningDecision } from '../core/openings/opening.ts';
import type { KeptFilms } from '../core/physics/localSqueeze.ts';
import type { PosedPanel } from '../core/physics/wallLoads.ts';
import { withBars } from '../core/plates/withBars.ts';
import type { ChamberReach } from '../core/reach/chamberReach.ts';
import { joinReaches } from '../core/reach/joinReaches.ts';
import { measureMouthReach } from '../core/reach/measureMouthReach.ts';
import { type Result, success } from '../core/result.ts';
import { movedOutline } from '../core/showSide/showOutline.ts';
import { showSide } from '../core/showSide/showSide.ts';
import type { HoldingWay } from '../core/supports/planSupports.ts';
import { barsOfPlan } from '../core/supports/supportBodies.ts';
import type { SupportFacts } from '../core/supports/supportPlan.ts';
import { scale, type Vec3 } from '../core/vector.ts';
import type { CavityFaults } from '../core/walls/cavityFaults.ts';
import type { ThinPatch } from '../core/walls/thinPatch.ts';
import type { TrueWall } from '../core/walls/trueWall.ts';
import type { WallPanel } from '../core/walls/wallPanel.ts';
import { ahead } from './ahead.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { chamberMouths } from './chamberMouths.ts';
import type { BlockedChamber, ChamberSpace } from './chamberSpace.ts';
import { cutMesh } from './cutMesh.ts';
import { drainInPrint } from './drainInPrint.ts';
import { drainSettings } from './drainSettings.ts';
import type { Later, TaskParams, TaskResult } from './hands.ts';
import { hollowPart } from './hollowPart.ts';
import { keptRegions } from './keptRegions.ts';
import { type AskedSupports, type LateDecisions, lateDecisions } from './lateDecisions.ts';
import { layerOptions, printLattice } from './layerDecisions.ts';
import { measureDrain } from './measureDrain.ts';
import { type Filling, measureFilling } from './measureFilling.ts';
import { type LayeredPart, measureLayered } from './measureLayered.ts';
import { measureLights } from './measureLights.ts';
import { boreOf, type MeasuredOpening, measureOpening, measureOpenings } from './measureOpenings.ts';
import { measureSupports } from './measureSupports.ts';
import type { PartFileSource } from './partFileSource.ts';
import { type PartKeys, partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import { posedPanels } from './posedPanels.ts';
import type { PosedPart } from './posedPart.ts';
import { indexedMeshes, measurePose, type Pose, posedMeshes, poseOf } from './posePart.ts';
import { type PreparedMesh, prepareMesh } from './prepareMesh.ts';
import { reachInPrint } from './reachInPrint.ts';
import { sharedMesh } from './sharedMesh.ts';
import type { SharedTasks } from './sharedTasks.ts';
import { shownOn } from './shownOn.ts';
import { stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';
import type { StageStore } from './stageStore.ts';
import { type SupportStages, supportStages } from './supportStages.ts';
import { trueWallFacts } from './trueWallFacts.ts';
import { withSupports } from './withSupports.ts';

/** A part's facts whatever it is called. */
export type NamelessFacts = Omit<PartFacts, 'name'>;
/** The same before its supports are planned. */
type UnheldFacts = Omit<NamelessFacts, 'supports' | 'footprint'>;

/**
 * The stages of one part. Each is asked for when it is needed, gets the ones before it in the same
 * way, is given only what is in its key (or follows from it), and is kept by that key: a changed
 * decision recomputes what depends on it and nothing else is even read.
 */
export interface PartStages {
  readonly keys: PartKeys;
  prepared(): Promise<Result<PreparedMesh>>;
  pose(): Promise<Result<Pose>>;
  /** In source axes at finished size, so that a new pose keeps it; null when the part stays solid. */
  cavity(): Promise<Result<Cavity | null>>;
  /** The hollow with another wall than the part's own; null when the mesh cannot be hollowed. Nothing of it is kept. */
  hollowed(wallMm: number): Promise<Result<Cavity | null>>;
  /** The chambers as cubes, in the frame of the cavity; null when the part stays solid. */
  cells(): Promise<Result<ChamberCells | null>>;
  /** Lobes and necks of the chambers, in the frame of the cells. */
  network(): Promise<Result<ChamberNetwork | null>>;
  posed(): Promise<Result<PosedPart>>;
  facts(): Promise<Result<NamelessFacts>>;
  layered(): Promise<Result<LayeredPart>>;
  /** Both surfaces as openings see them. */
  openable(): Promise<Result<OpenablePart>>;
  lights(): Promise<Result<readonly LightFacts[]>>;
  /**
   * The facts with other openings than the part's own, and other late decisions; nothing of it is kept on
   * disk, and no supports are planned. How far the openings reach is told only where it is asked for `thoroughly`.
   */
  tried(
    openings: readonly OpeningDecision[],
    others?: Partial<LateDecisions>,
    thoroughly?: boolean,
  ): Promise<Result<NamelessFacts>>;
  /** The supports that another decision would get, in one way of holding where it is told; nothing of it is kept. */
  held(asked: AskedSupports, only?: HoldingWay): Promise<Result<SupportFacts>>;
  /** Brings into memory what the next edit of an opening will need. */
  preheated(): Promise<Result<null>>;
}

/** Cells along the edge of a fine block: 400 000 cells make about 17 000 of them, a few ms a flood. */
const FINE_CELLS = 3;
/** About how many coarse ones a chamber has. */
const COARSE_BLOCKS = 800;
const feeling = 'feeling walls';
/** Nodes of the distance field at most: 8 bytes each. */
const maxFieldNodes = 60_000_000;

export function partStages(
  request: PartRequest,
  file: PartFileSource,
  store: StageStore,
  context: StageContext,
): PartStages {
  const { factor, wall, keepSolid, limits, machine } = request;
  const { triangles, leastChamber } = limits;
  const keys = partKeys(request, file.hash);

  /** A stage that is named only when this thread has come to it. */
  const whenSeen = (name: string): Interrupter => {
    let named: Interrupter | null = null;
    return (fraction) => {
      named ??= context.stage(name);
      named(fraction);
    };
  };

  const whole = once(() =>
    keptMesh(store, keys.whole, async () =>
      then(file.bytes(context.stage('reading')), (bytes) => prepareMesh(bytes, triangles, context)),
    ),
  );

  const prepared = once(() => cutOff(request.cuts.length));

  /** What the first so many cuts leave; where the last of them is kept, the file is not even read. */
  const cutOff = (count: number): Promise<Result<PreparedMesh>> => {
    if (count === 0) return whole();
    const { cut, side } = request.cuts[count - 1]!;
    const both = store.get('halves', keys.halves[count - 1]!, 'disk', () =>
      then(cutOff(count - 1), (mesh) =>
        then(cutMesh(mesh, cut, factor, context), ({ back, front }) =>
          success({ back: storedMesh(back), front: storedMesh(front) }),
        ),
      ),
    );
    return then(both, (halves) => success(keptAs(halves[side])));
  };

  const posing = once(() =>
    then(prepared(), ({ clean }) => success(poseOf(clean, request, context.stage('posing')))),
  );

  /**
   * All facts are asked for, and no pose before them: idle threads may begin with the hollow while this one
   * poses the part. Who asks for the pose first, as a view does, has its picture to make.
   */
  let areFactsWanted = false;
  const pose = once(() =>
    store.get('pose', keys.pose, 'disk', async () => {
      if (areFactsWanted) await carved.begin();
      return then(join(prepared(), posing()), ([mesh, inPrint]) =>
        success(measurePose(inPrint, mesh, factor, context.stage('weighing'))),
      );
    }),
  );

  /** Work that one thread does, whichever comes to it first. */
  const handOver = async <K extends keyof SharedTasks & string>(
    task: K,
    work: TaskParams<SharedTasks, K>,
    stage: string,
    later: Later | undefined,
  ): Promise<Result<TaskResult<SharedTasks, K>>> =>
    success((await context.hands.share(task, [work], whenSeen(stage), later))[0]!);

  /** Of the part alone; print frame. */
  const footprint = ahead('last', (offer) =>
    store.get('footprint', keys.pose, 'disk', () =>
      then(join(prepared(), posing()), ([{ sound }, { mesh }]) =>
        handOver(
          'castFootprint',
          { mesh: sharedMesh(mesh), isClosed: sound },
          'casting the footprint',
          offer(),
        ),
      ),
    ),
  );

  /** In source axes at finished size. */
  const sheets = ahead('first', (offer) =>
    store.get('sheets', keys.sheets, 'disk', () =>
      then(
        prepared(),
        ({ clean, sound, isAsReported, topology }): Promise<Result<ThinPatch[]>> | Result<ThinPatch[]> => {
          if (!sound) return success([]);
          const areaMm2 = isAsReported ? topology.area * factor ** 2 : null;
          const work = { mesh: clean, factor, areaMm2, limitMm: limits.leastWall };
          return handOver('feelSheets', work, feeling, offer());
        },
      ),
    ),
  );

  /** In source axes at finished size. */
  const carved = ahead('at once', (offer) =>
    then(prepared(), ({ clean, sound }): Promise<Result<Cavity | null>> | Result<null> => {
      if (wall === null || !sound) return success(null);
      return store.get('cavity', keys.cavity, 'disk', async () => {
        const later = offer();
        // For the time when the hollow has nothing to share. It takes the pose, which other threads need not wait for.
        if (later === undefined) await footprint.begin();
        return hollowing(clean, wall, later && { ...later, needed: later.needed.then(footprint.begin) });
      });
    }),
  );
  const cavity = carved.get;

  const hollowing = (clean: Mesh, wallMm: number, later?: Later): Promise<Result<Cavity>> => {
    const options = {
      wallMm,
      kept: keptRegions(request),
      leastChamberMm3: leastChamber * 1000,
      maxNodes: maxFieldNodes,
    };
    return hollowPart(atFinishedSize(clean, factor), options, context.hands, whenSeen('hollowing'), later);
  };

  /** The weakest walls of the hollows; in source axes at finished size. */
  const panels = ahead('first', (offer) =>
    store.get('panels', keys.panels, 'disk', () =>
      then(cavity(), (hollowed): Promise<Result<WallPanel[]>> | Result<WallPanel[]> => {
        if (hollowed === null || hollowed.chambers.length === 0) return success([]);
        const { mesh, facetChamber } = hollowed;
        return handOver('feelPanels', { mesh, facetChamber, wallMm: wall! }, feeling, offer());
      }),
    ),
  );

  /** What is thin or odd in the hollow; in source axes at finished size. */
  const faults = ahead('last', (offer) =>
    store.get('faults', keys.faults, 'disk', () =>
      then(cavity(), (hollowed): Promise<Result<CavityFaults>> | Result<CavityFaults> => {
        if (hollowed === null) return success({ webs: [], spikes: [], loose: [] });
        const { mesh, facetChamber, spacingMm } = hollowed;
        const work = { mesh, facetChamber, spacingMm, limitMm: limits.leastWall };
        return handOver('feelFaults', work, feeling, offer());
      }),
    ),
  );

  const cells = once(() =>
    then(cavity(), (hollowed): Promise<Result<ChamberCells | null>> | Result<null> =>
      hollowed === null || hollowed.chambers.length === 0
        ? success(null)
        : store.get('cells', keys.cells, 'disk', () =>
            success(buildChamberCells(hollowed, context.stage('filling chambers'))),
          ),
    ),
  );

  const network = once(() =>
    then(cells(), (listed): Promise<Result<ChamberNetwork | null>> | Result<null> =>
      listed === null
        ? success(null)
        : store.get('network', keys.network, 'disk', () =>
            success(buildChamberNetwork(listed, context.stage('finding necks'))),
          ),
    ),
  );

  const posed = once(() =>
    then(prepared(), (mesh) =>
      then(pose(), (inPrint) =>
        then(cavity(), (hollowed) =>
          then(
            posedMeshes(store, keys.posed, request, mesh.clean, hollowed?.mesh ?? null, posing),
            (meshes): Result<PosedPart> =>
              success({
                request: { factor, wall, keepSolid },
                prepared: mesh,
                pose: inPrint,
                posed: meshes,
                mended: mesh.mended === mesh.clean ? meshes.outer : transformMesh(mesh.mended, inPrint.frame),
                cavity: hollowed,
              }),
          ),
        ),
      ),
    ),
  );

  const openable = once(() =>
    then(posed(), (part) =>
      then(
        indexedMeshes(store, keys.posed, part.posed, context.stage('indexing surfaces')),
        ({ outer, cavity: inner }): Result<OpenablePart> => {
          const { frame } = part.pose;
          const direction = { linear: frame.linear, shift: [0, 0, 0] } as const;
          const hollowed = part.cavity !== null && part.cavity.chambers.length > 0;
          return success({
            outer,
            cavity: hollowed ? inner : null,
            facetChamber: hollowed ? part.cavity!.facetChamber : null,
            wallMm: wall,
            toPrint: (point) => applyAffine(frame, point),
            directionToPrint: (way) => applyAffine(direction, scale(way, 1 / factor)),
          });
        },
      ),
    ),
  );

  const late = lateDecisions(request);
  const layered = once(() =>
    then(pose(), (inPrint) =>
      store.get('layers', keys.layers(inPrint), 'disk', () =>
        then(posed(), async (part) => {
          await panels.begin();
          await sheets.begin();
          // For the time when the layers are joined and the loads reckoned.
          await faults.begin();
          const lattice = printLattice(inPrint.mass.bounds, machine);
          return measureLayered(part, lattice, layerOptions(request), context);
        }),
      ),
    ),
  );

  /** Null where every limb is one void. */
  const lobes = once(() =>
    then(network(), (joined): Promise<Result<LimbLobes | null>> | Result<null> =>
      joined === null || joined.necks.length === 0
        ? success(null)
        : then(pose(), (inPrint) =>
            store.get('lobes', keys.lobes(inPrint), 'disk', () =>
              then(cells(), (listed) =>
                then(layered(), ({ graph, solid, xLow, xHigh }) =>
                  success(
                    limbLobesOf(
                      listed!,
                      joined,
                      graph,
                      { solid, xLow, xHigh, regionStart: graph.regionStart },
                      afterScaling(inPrint.frame, 1 / factor),
                      context.stage('dividing limbs'),
                    ),
                  ),
                ),
              ),
            ),
          ),
    ),
  );

  /** The lobe at a point in the print frame; of a part without necks never asked. */
  const lobesAt = (inPrint: Pose): Promise<Result<((point: Vec3) => number) | null>> =>
    then(network(), (joined): Promise<Result<((point: Vec3) => number) | null>> | Result<null> =>
      joined === null || joined.necks.length === 0
        ? success(null)
        : then(cells(), (listed) => {
            const toCells = invertSimilarity(afterScaling(inPrint.frame, 1 / factor));
            return success((point: Vec3) => lobeAt(listed!, joined, applyAffine(toCells, point)));
          }),
    );

  /** One by one, so that an edit of an opening leaves the others as they are. */
  const bored = (
    decisions: readonly OpeningDecision[],
    part: LayeredPart,
    inPrint: Pose,
  ): Promise<Result<MeasuredOpening[]>> =>
    each(decisions, (decision, at) => {
      const bore = boreOf(decision);
      return store.get('opening', stageKey('opening', [keys.layers(inPrint), bore]), 'memory', () => {
        const placing = portion(
          context.stage('placing openings'),
          at / decisions.length,
          (at + 1) / decisions.length,
        );
        return then(openable(), (surfaces) =>
          then(lobesAt(inPrint), (at) => success(measureOpening(bore, part, surfaces, at, placing))),
        );
      });
    });

  /** Of all lights at once: where they run does not depend on what else is drilled. */
  const lit = once((): Promise<Result<LightFacts[]>> | Promise<Result<never[]>> =>
    request.lights.length === 0
      ? Promise.resolve(success([]))
      : store.get('lights', stageKey('lights', [keys.posed, request.lights]), 'memory', () =>
          then(openable(), (surfaces) =>
            success(measureLights(request.lights, surfaces, context.stage('following lights'))),
          ),
        ),
  );

  const filling = once((): Promise<Result<Filling>> => {
    const { fill, coat } = late;
    return fill === null && coat === null
      ? Promise.resolve(success({ fills: null, coats: null }))
      : then(pose(), (inPrint) =>
          then(
            cavity(),
            (hollowed): Result<Filling> =>
              success(
                hollowed === null
                  ? { fills: null, coats: null }
                  : measureFilling(hollowed, fill, coat, inPrint, factor),
              ),
          ),
        );
  });

  const blocks = (
    of: ChamberCells,
    volumesMm3: readonly number[],
  ): Promise<Result<readonly BlockedChamber[]>> =>
    store.get('blocks', keys.cells, 'memory', () =>
      success(
        volumesMm3.map((volume, chamber) => {
          const block = (edge: number) =>
            withVolume(blockChamber(of, chamber, edge, context.stage('filling chambers')), volume);
          const coarse = Math.round(Math.cbrt(volume / COARSE_BLOCKS) / of.spacing);
          return { fine: block(FINE_CELLS), coarse: block(Math.max(FINE_CELLS, coarse)) };
        }),
      ),
    );

  const space = once(
    (): Promise<Result<ChamberSpace | null>> =>
      then(pose(), ({ frame }) =>
        then(cavity(), (hollowed) =>
          then(cells(), (list): Promise<Result<ChamberSpace | null>> | Result<null> =>
            list === null || hollowed === null
              ? success(null)
              : then(
                  blocks(
                    list,
                    hollowed.chambers.map(({ volumeMm3 }) => volumeMm3),
                  ),
                  (nodes) =>
                    success({ cells: list, blocks: nodes, toPrint: afterScaling(frame, 1 / factor) }),
                ),
          ),
        ),
      ),
  );

  /** Chamber by chamber, so that an edit of an opening leaves the others as they are; print frame. */
  const drained = (
    room: ChamberSpace | null,
    measured: readonly MeasuredOpening[],
    decisions: LateDecisions,
  ): Promise<Result<(PosedDrain | null)[]>> => {
    if (room === null) return Promise.resolve(success([]));
    return each(drainSettings(room, measured, decisions), async (setting, chamber) => {
      if (setting === null) return success(null);
      const key = stageKey('drain', [keys.cells, chamber, setting]);
      const drain = store.get('drain', key, 'memory', () =>
        success(measureDrain(room.blocks[chamber]!, setting, context.stage('pouring out chambers'))),
      );
      return then(drain, (found) => success(drainInPrint(found, room.toPrint)));
    });
  };

  /** Mouth by mouth, for the same reason; print frame. */
  const reached = (
    room: ChamberSpace | null,
    measured: readonly MeasuredOpening[],
    { lamp, lampReach, rinseWay, rinseReach }: LateDecisions['limits'],
  ): Promise<Result<(ChamberReach | null)[]>> => {
    if (room === null) return Promise.resolve(success([]));
    const lookup = once(async () => cellLookup(room.cells));
    const atMost = { lamp, lampReach, rinseWay, rinseReach };
    const mouths = chamberMouths(
      measured.map(({ facts }) => facts),
      room.blocks.length,
      room.toPrint,
    );
    return each(mouths, (own, chamber) => {
      const { fine } = room.blocks[chamber]!;
      const reaches = each(own, ({ id: _, ...place }) =>
        store.get('reach', stageKey('reach', [keys.cells, chamber, place, atMost]), 'memory', async () =>
          success(measureMouthReach(room.cells, await lookup(), fine, place, atMost)),
        ),
      );
      return then(reaches, (found) => {
        const joined = joinReaches(
          fine,
          found.map((reach, at) => ({ radius: own[at]!.radius, reach })),
        );
        return success(joined && reachInPrint(joined, room.toPrint));
      });
    });
  };

  const shown = ({ frame }: Pose) => showSide(late.show.map((outline) => movedOutline(outline, frame)));

  /** The walls in pieces as they stand in the print, with the limbs that load them. */
  const standing = once(() =>
    then(panels.get(), (pieces): Promise<Result<PosedPanel[]>> | Result<PosedPanel[]> =>
      pieces.length === 0
        ? success([])
        : then(pose(), (inPrint) =>
            store.get('standing', keys.standing(inPrint), 'disk', () =>
              then(layered(), (part) =>
                success(posedPanels(pieces, afterScaling(inPrint.frame, 1 / factor), part)),
              ),
            ),
          ),
    ),
  );

  /** In the print frame. */
  const trueWall = ({ frame }: Pose): Promise<Result<TrueWall>> =>
    then(join(sheets.get(), faults.get()), ([thin, inside]) =>
      success(trueWallFacts({ ...inside, sheets: thin }, afterScaling(frame, 1 / factor))),
    );

  /** Print frame; null when there is no chamber. */
  const columns = once(
    (): Promise<Result<ChamberColumns | null>> =>
      then(cavity(), (hollowed): Promise<Result<ChamberColumns | null>> | Result<null> =>
        hollowed === null || hollowed.chambers.length === 0
          ? success(null)
          : store.get('columns', keys.posed, 'disk', () =>
              then(posed(), ({ posed: { cavity: mesh } }) =>
                success(
                  buildChamberColumns(mesh!, hollowed.facetChamber, context.stage('measuring columns')),
                ),
              ),
            ),
      ),
  );

  const unsupported = (open: UnheldFacts): Promise<Result<NamelessFacts>> =>
    then(footprint.get(), (alone) => success({ ...open, supports: null, footprint: alone }));

  /** What hangs over and how the part grows stays in memory; how tips of other places hold is reckoned on that. */
  const supportsFor = (
    open: UnheldFacts,
    asked: AskedSupports,
    only?: HoldingWay,
  ): Promise<Result<SupportFacts>> =>
    then(pose(), (inPrint) =>
      then(showTester(inPrint), (isShown) => {
        const { frame } = inPrint;
        const request = { loads: open.loads, asked, late, isShown, frame, footprint: footprint.get };
        return then(standingStill(open, asked), (stages) =>
          measureSupports(
            stages,
            only === undefined ? request : { ...request, only },
            portion(context.stage('planning supports'), 0.5, 1),
          ),
        );
      }),
    );

  const standingStill = (
    { openings, lights }: Pick<UnheldFacts, 'openings' | 'lights'>,
    asked: AskedSupports,
  ): Promise<Result<SupportStages>> =>
    then(pose(), (inPrint) =>
      then(layered(), (part) => {
        const placed = [...openings.flatMap((one) => one.placed ?? []), ...lightBores(lights)];
        return supportStages(part, placed, asked, keys.layers(inPrint), store, context);
      }),
    );

  /** What the next trial of a support will need. */
  const supportsPreheated = (): Promise<Result<null>> | Result<null> => {
    const { supports } = late;
    if (supports === null) return success(null);
    return then(measured(), (facts) =>
      // What a trial would ask for is brought by asking for it.
      then(supportsFor(facts, supports, facts.supports!), () => success(null)),
    );
  };

  const showTester = (inPrint: Pose): Promise<Result<(at: Vec3) => boolean>> | Result<() => false> =>
    late.show.length === 0
      ? success(() => false)
      : then(openable(), (surfaces) => success(shownOn(surfaces, shown(inPrint))));

  /** With the supports that the part asks for. */
  const supported = (open: UnheldFacts): Promise<Result<NamelessFacts>> => {
    const { supports } = late;
    if (supports === null) return unsupported(open);
    return then(supportsFor(open, supports), (facts) =>
      then(footprint.get(), (alone) => {
        const bars = barsOfPlan(facts, supports.decision);
        return success({
          ...open,
          loads: withSupports(open.loads, facts, bars, open.layers.layerHeight, late),
          supports: facts,
          footprint: withBars(alone, bars),
        });
      }),
    );
  };

  /** What resin flows through on its way inside. */
  const inside = () =>
    then(lobes(), (limbs) => then(columns(), (upright) => success({ limbs, columns: upright })));
  const nothing = { limbs: null, columns: null };
  /** For openings that are tried one after the other: most films stay as they were. */
  const films: KeptFilms = new Map();

  /** `thoroughly`: with how far the openings reach, which takes as long as all the rest of an edit. */
  const decided = (
    decisions: LateDecisions,
    inPrint: Pose,
    thoroughly: boolean,
  ): Promise<Result<UnheldFacts>> =>
    then(layered(), (part) =>
      then(bored(decisions.openings, part, inPrint), (measured) =>
        then(join(filling(), lit()), ([put, lights]) =>
          then(thoroughly && decisions.openings.length > 0 ? space() : success(null), (room) =>
            // Nothing flows through a hollow without openings.
            then(decisions.openings.length > 0 ? inside() : success(nothing), (flows) =>
              then(drained(room, measured, decisions), (drains) =>
                then(reached(room, measured, decisions.limits), (reach) =>
                  then(standing(), (pieces) => {
                    const aside = {
                      filling: put,
                      lights,
                      ...flows,
                      films,
                      show: shown(inPrint),
                      panels: pieces,
                      drains,
                      reach,
                    };
                    const loaded = measureOpenings(part, decisions, measured, aside, context);
                    return then(trueWall(inPrint), (thin) => success({ ...loaded, trueWall: thin }));
                  }),
                ),
              ),
            ),
          ),
        ),
      ),
    );

  const measured = (): Promise<Result<NamelessFacts>> => {
    areFactsWanted = true;
    return then(pose(), (inPrint) =>
      store.get('facts', keys.facts(inPrint), 'disk', () => then(decided(late, inPrint, true), supported)),
    );
  };

  return {
    keys,
    prepared,
    pose,
    cavity,
    hollowed: (wallMm) =>
      then(prepared(), ({ clean, sound }) => (sound ? hollowing(clean, wallMm) : success(null))),
    cells,
    network,
    posed,
    layered,
    openable,
    lights: lit,
    tried: (openings, others, thoroughly = false) =>
      then(pose(), (inPrint) =>
        then(decided({ ...late, ...others, openings }, inPrint, thoroughly), unsupported),
      ),
    preheated: () =>
      then(layered(), () =>
        then(openable(), () =>
          then(space(), () =>
            then(inside(), () =>
              then(join(sheets.get(), faults.get()), () => then(standing(), supportsPreheated)),
            ),
          ),
        ),
      ),
    facts: measured,
    held: (asked, only) => then(measured(), (open) => supportsFor(open, asked, only)),
  };
}

async function keptMesh(
  store: StageStore,
  key: string,
  compute: () => Promise<Result<PreparedMesh>>,
): Promise<Result<PreparedMesh>> {
  const stored = store.get('mesh', key, 'disk', () => then(compute(), (mesh) => success(storedMesh(mesh))));
  return then(stored, (mesh) => success(keptAs(mesh)));
}

/** A clean mesh that is the mended one is stored once. */
type StoredMesh = Omit<PreparedMesh, 'clean'> & { readonly clean: Mesh | null };

const storedMesh = (mesh: PreparedMesh): StoredMesh => ({
  ...mesh,
  clean: mesh.clean === mesh.mended ? null : mesh.clean,
});

const keptAs = (mesh: StoredMesh): PreparedMesh => ({ ...mesh, clean: mesh.clean ?? mesh.mended });

function once<T>(make: () => Promise<T>): () => Promise<T> {
  let made: Promise<T> | null = null;
  return () => {
    made ??= make();
    return made;
  };
}

/** Goes on with the value of a success; a failure stays what it is. */
async function then<A, B>(
  result: Result<A> | Promise<Result<A>>,
  next: (value: A) => Result<B> | Promise<Result<B>>,
): Promise<Result<B>> {
  const settled = await result;
  return settled.ok ? next(settled.value) : settled;
}

/** Both, or the first failure. */
async function join<A, B>(a: Promise<Result<A>>, b: Promise<Result<B>>): Promise<Result<readonly [A, B]>> {
  // Heard of together: when one is cancelled so is the other, and nobody would hear of that.
  const [first, second] = await Promise.all([a, b]);
  if (!first.ok) return first;
  return second.ok ? success([first.value, second.value]) : second;
}

/** One after the other; the first failure ends it. */
async function each<A, B>(
  items: readonly A[],
  next: (item: A, at: number) => Promise<Result<B>>,
): Promise<Result<B[]>> {
  const values: B[] = [];
  for (const [at, item] of items.entries()) {
    const result = await next(item, at);
    if (!result.ok) return result;
    values.push(result.value);
  }
  return success(values);
}
