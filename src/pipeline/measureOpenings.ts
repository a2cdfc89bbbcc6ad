import type { ChamberColumns } from '../core/chambers/chamberColumns.ts';
import type { LimbLobes } from '../core/chambers/limbLobes.ts';
import { balanceOf } from '../core/filling/balance.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { cutAreas } from '../core/layers/cutSolid.ts';
import { linkOpenings } from '../core/layers/linkOpenings.ts';
import type { OpeningLink } from '../core/layers/openingLinks.ts';
import { sweepCups } from '../core/layers/sweepCups.ts';
import { sumByChamber, trappedLiquid } from '../core/layers/trappedLiquid.ts';
import { lightBores } from '../core/lights/lightBores.ts';
import type { OpenablePart } from '../core/openings/openablePart.ts';
import type { OpeningDecision, OpeningFacts, PlacedOpening } from '../core/openings/opening.ts';
import { placeOpening } from '../core/openings/placeOpening.ts';
import { computePartLoads } from '../core/physics/computePartLoads.ts';
import { constants } from '../core/physics/constants.ts';
import { liftStages } from '../core/physics/loadSetting.ts';
import { type KeptFilms, localSqueeze, type SqueezeInput } from '../core/physics/localSqueeze.ts';
import type { PosedPanel } from '../core/physics/wallLoads.ts';
import type { ShowSide } from '../core/showSide/showSide.ts';
import { add, scale, type Vec3 } from '../core/vector.ts';
import type { LateDecisions } from './lateDecisions.ts';
import type { Filling } from './measureFilling.ts';
import type { LayeredPart } from './measureLayered.ts';
import type { StageContext } from './stageContext.ts';

/** One opening on a part as measured: where it is and what it touches of the void. */
export interface MeasuredOpening {
  readonly facts: OpeningFacts;
  /** Null when it lies off the surface. */
  readonly link: OpeningLink | null;
  /** The lobe its bore comes out in; −1 where none is near, or nobody asks. */
  readonly lobe: number;
}

/** Where and how an opening is drilled, whatever it is called: renumbering leaves it as it is. */
export type Bore = Omit<OpeningDecision, 'id' | 'kind'>;

export const boreOf = ({ at, diameter, depth, toward }: OpeningDecision): Bore => ({
  at,
  diameter,
  ...(depth === undefined ? {} : { depth }),
  ...(toward === undefined ? {} : { toward }),
});

export function measureOpening(
  bore: Bore,
  { solid, xLow, xHigh, graph }: LayeredPart,
  openable: OpenablePart,
  lobeOf: ((point: Vec3) => number) | null,
  interrupter: Interrupter,
): MeasuredOpening {
  const facts = placeOpening({ id: '', kind: 'vent', ...bore }, openable, interrupter);
  if (facts.placed === null) return { facts, link: null, lobe: -1 };
  const labels = { solid, xLow, xHigh, regionStart: graph.regionStart };
  const lobe = lobeOf === null || facts.chamber === null ? -1 : lobeOf(innerEnd(facts.placed, facts));
  return { facts, link: linkOpenings([facts.placed], labels)[0]!, lobe };
}

/** Where the bore comes out of the wall. */
function innerEnd(
  { mouth, axis, depth }: PlacedOpening,
  { chamberDepthMm }: Pick<OpeningFacts, 'chamberDepthMm'>,
): Vec3 {
  return add(mouth, scale(axis, chamberDepthMm ?? depth));
}

/** What is measured beside the layers. */
interface Aside {
  readonly filling: Filling;
  readonly lights: PartFacts['lights'];
  /** Null where every limb is one void. */
  readonly limbs: LimbLobes | null;
  /** Print frame. */
  readonly show: ShowSide;
  readonly panels: readonly PosedPanel[];
  /** By chamber, print frame; none where nobody asks. */
  readonly drains: PartFacts['drains'];
  readonly reach: PartFacts['reach'];
  /** Null where nothing is hollow. */
  readonly columns: ChamberColumns | null;
  readonly films: KeptFilms;
}

/** The facts of a measured part with its measured openings, in the order of the decisions. */
export function measureOpenings(
  layered: LayeredPart,
  late: LateDecisions,
  measured: readonly MeasuredOpening[],
  { filling, lights, limbs, columns, films, show, panels, drains, reach }: Aside,
  context: StageContext,
): Omit<PartFacts, 'name' | 'trueWall' | 'supports' | 'footprint'> {
  const { mesh, figures, graph, solid } = layered;
  const openings = measured.map(({ facts }, at) => seen(named(facts, late.openings[at]!), show));
  const cut = openings.filter(isPlaced);
  const links = measured.flatMap(({ link }) => (link === null ? [] : [link]));
  // A light's tube is lined: it takes solid away and opens nothing.
  const cutMm2 = cutAreas([...cut.map(({ placed }) => placed), ...lightBores(lights)], solid);
  const cutMm3 = cutMm2.reduce((sum, area) => sum + area, 0) * solid.lattice.dz;
  const resinMm3 = layered.hollow.solidMm3 - (layered.chambersMm3 + cutMm3);
  const trapped = trappedLiquid(graph, links);
  const tracks = sweepCups(graph, links);
  const reckoning = context.stage('reckoning loads');
  const lobes = limbs && {
    limbs,
    openingLobe: Int32Array.from(measured.flatMap(({ link, lobe }) => (link === null ? [] : [lobe]))),
  };
  const squeezes =
    columns === null
      ? []
      : localSqueeze(
          {
            columns,
            tracks,
            openings: cut,
            lobes,
            layerHeight: solid.lattice.dz,
            kept: films,
            ...squeezeBounds(late),
          },
          portion(reckoning, 0, 0.9),
        );
  const loads = computePartLoads(
    {
      layerHeight: solid.lattice.dz,
      areaMm2: figures.area,
      tracks,
      squeezes,
      cutMm2,
      openings: cut,
      lobes,
      trappedMm3: sumByChamber(graph, trapped, layered.hollow.chambers.length),
      curedMm3: resinMm3,
      wallMm: late.wallMm,
      panels,
      machine: late.machine,
      film: late.film,
      resin: late.resin,
      limits: late.limits,
    },
    portion(reckoning, 0.9, 1),
  );
  const { chambers, solidMm3 } = layered.hollow;
  const body = { volumeMm3: solidMm3, centroid: mesh.centroid };
  const balance = balanceOf(loads.massG, body, chambers, filling.fills, filling.coats);
  const hollow = { ...layered.hollow, resinMm3 };
  return { mesh, hollow, openings, lights, layers: figures, loads, balance, reach, drains };
}

/** For 1 Pa·s and 1 m/s: a hundredth of what a cup may pull with, and one atmosphere. */
function squeezeBounds({
  machine,
  resin,
  limits,
}: LateDecisions): Pick<SqueezeInput, 'leastForce' | 'mostPressure'> {
  const stages = liftStages(machine);
  const viscosity = resin.viscosity * 1e-3;
  const fastest = Math.max(...stages.map(({ speed }) => speed));
  return {
    leastForce: (0.01 * limits.suction) / (viscosity * fastest),
    mostPressure: constants.atmosphere.value / (viscosity * stages[0]!.speed),
  };
}

function named(facts: OpeningFacts, decision: OpeningDecision): OpeningFacts {
  const { id, kind } = decision;
  return { ...facts, decision, placed: facts.placed && { ...facts.placed, id, kind } };
}

/** With how far its mouth reaches into the show side. */
function seen(facts: OpeningFacts, show: ShowSide): OpeningFacts {
  const { placed, facing } = facts;
  const reach = placed === null || facing === null ? 0 : show.reach(placed.mouth, facing, placed.radius);
  return { ...facts, showReachMm: reach > 0 ? reach : null };
}

const isPlaced = (opening: OpeningFacts): opening is OpeningFacts & { placed: PlacedOpening } =>
  opening.placed !== null;
