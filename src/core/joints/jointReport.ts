import { roundTo, roundVec3 } from '../kit/rounding.ts';
import { constants } from '../physics/constants.ts';
import { scale, type Vec3 } from '../vector.ts';
import type { FitChange } from './fitChange.ts';
import type { GapSpread, Joint } from './joint.ts';
import { type JointClearance, madeJoint } from './jointClearance.ts';
import { type JointFacts, type PinFacts, plugAndSocket } from './jointFacts.ts';
import type { JointLoad } from './jointLoads.ts';

/** Gaps over an area, mm: so much of the area has less. Negative where the parts overlap. */
export interface GapReport {
  readonly area_mm2: number;
  readonly least_mm: number;
  readonly q05_mm: number;
  readonly q25_mm: number;
  readonly median_mm: number;
  readonly q75_mm: number;
  readonly q95_mm: number;
  readonly greatest_mm: number;
}

/** Where two parts meet, in `check --json` under `joints`. Sizes in print mm, places in source coordinates. */
export interface JointReport {
  /** In the order of the manifest. */
  readonly parts: readonly [string, string];
  /** The part that goes into the other; null where neither does. */
  readonly plug: string | null;
  readonly socket: string | null;
  /** Over all faces that look at each other within `limits.joint-reach`, and all that lie inside the other part. */
  readonly gap: GapReport;
  /** Over those that slide past each other as the parts are put together; null where none do. */
  readonly slide: GapReport | null;
  /** The way, in source axes, in which the first part is taken off the second. */
  readonly off_source: Vec3;
  /** Share of the area that stands in that way. */
  readonly caught: number;
  /**
   * How the gap comes out other than sculpted, by the two parts' poses and resins: what is known of the gap that a twentieth
   * stay under and of the median, the former at its tightest, the latter at its loosest; which parts of the tightest come of
   * shrinkage by pose and of base layers, and of which resins they are not known.
   */
  readonly comes_out: {
    readonly known_mm: number;
    readonly known_median_mm: number;
    readonly tightest_mm: number;
    readonly loosest_mm: number;
    readonly by_pose_mm: number;
    readonly by_spread_mm: number;
    readonly unmeasured: readonly string[];
  };
  readonly regions: readonly { readonly area_mm2: number; readonly at_source: Vec3 }[];
  /** Solid that both take; null where they take none. */
  readonly overlap: {
    readonly volume_ml: number;
    readonly depth_mm: number;
    readonly at_source: Vec3;
  } | null;
  /** Name of what the manifest decides about it. */
  readonly decided: string | null;
  /** What make-ready cuts for the clearance that was decided on; null where none was. */
  readonly clearance: {
    readonly clearance_mm: number;
    /** The part that is taken from. */
    readonly gives: string;
    /** How deep at most; 0 where there is nothing to cut. */
    readonly cut_mm: number;
    /** The gaps as they come out. */
    readonly gap: GapReport;
    readonly slide: GapReport | null;
  } | null;
  /** What hangs on it; null where it bears nothing, or only some parts were asked for. */
  readonly load: {
    readonly beyond: readonly string[];
    readonly mass_g: number;
    /** Their centre of mass. */
    readonly at_source: Vec3;
    /** Level distance of that centre from the joint as the figure stands, and the straight one. */
    readonly lever_mm: number;
    readonly arm_mm: number;
    /** About the joint, as the figure stands. */
    readonly moment_nm: number;
  } | null;
  /** The rod that was decided on, under its load times `handling`, in the worst attitude. */
  readonly pin: {
    readonly yield_mpa: number;
    readonly moment_nm: number;
    readonly needed_mm: number;
    readonly diameter_mm: number;
    /** How many times the load it bears before it bends for good. */
    readonly reserve: number;
    readonly needed_depth_mm: number;
    readonly depth_mm: number;
    readonly bearing_mpa: number;
    readonly strength_mpa: number;
    readonly at_source: Vec3;
  } | null;
}

export function jointReport(facts: JointFacts, factor: number): JointReport {
  const { joint } = facts;
  const roles = plugAndSocket(facts);
  const source = (at: Vec3): Vec3 => roundVec3(scale(at, 1 / factor), 4);
  return {
    parts: [facts.first, facts.second],
    plug: roles?.plug ?? null,
    socket: roles?.socket ?? null,
    gap: gapReport(joint.gap),
    slide: joint.slide && gapReport(joint.slide),
    off_source: roundVec3(joint.off, 3),
    caught: roundTo(joint.caught, 3),
    comes_out: fitReport(facts.fit),
    regions: joint.regions.map(({ areaMm2, at }) => ({
      area_mm2: roundTo(areaMm2, 1),
      at_source: source(at),
    })),
    overlap: joint.overlap && {
      volume_ml: roundTo(joint.overlap.volumeMm3 / 1000, 3),
      depth_mm: roundTo(joint.overlap.depthMm, 3),
      at_source: source(joint.overlap.at),
    },
    decided: facts.decided,
    clearance: facts.clearance && clearanceReport(facts.clearance, joint),
    load: facts.load && loadReport(facts.load, source),
    pin: facts.pin && pinReport(facts.pin, source),
  };
}

function fitReport(fit: FitChange): JointReport['comes_out'] {
  // No −0 for what does not change.
  const mm = (value: number): number => roundTo(value, 3) + 0;
  return {
    known_mm: mm(fit.known.q5),
    known_median_mm: mm(fit.known.median),
    tightest_mm: mm(fit.tightest.q5),
    loosest_mm: mm(fit.loosest.median),
    by_pose_mm: mm(fit.byPose.q5),
    by_spread_mm: mm(fit.bySpread.q5),
    unmeasured: fit.unmeasured,
  };
}

function clearanceReport({ mm, gives, cutMm }: JointClearance, joint: Joint): JointReport['clearance'] {
  const made = madeJoint(joint, mm);
  return {
    clearance_mm: mm,
    gives,
    cut_mm: roundTo(cutMm, 3),
    gap: gapReport(made.gap),
    slide: made.slide && gapReport(made.slide),
  };
}

function loadReport(load: JointLoad, source: (at: Vec3) => Vec3): JointReport['load'] {
  const weightN = (load.massG * constants.gravity.value) / 1000;
  return {
    beyond: load.beyond,
    mass_g: roundTo(load.massG, 2),
    at_source: source(load.at),
    lever_mm: roundTo(load.leverMm, 2),
    arm_mm: roundTo(load.armMm, 2),
    moment_nm: roundTo((weightN * load.leverMm) / 1000, 4),
  };
}

function pinReport({ strength, at }: PinFacts, source: (at: Vec3) => Vec3): JointReport['pin'] {
  return {
    yield_mpa: strength.yieldMpa,
    moment_nm: roundTo(strength.momentNm, 4),
    needed_mm: roundTo(strength.neededMm, 3),
    diameter_mm: roundTo(strength.diameterMm, 3),
    reserve: roundTo(strength.reserve, 2),
    needed_depth_mm: roundTo(strength.neededDepthMm, 2),
    depth_mm: roundTo(strength.depthMm, 2),
    bearing_mpa: roundTo(strength.bearingMpa, 3),
    strength_mpa: strength.strengthMpa,
    at_source: source(at),
  };
}

function gapReport({ areaMm2, least, q5, q25, median, q75, q95, most }: GapSpread): GapReport {
  const [least_mm, q05_mm, q25_mm, median_mm, q75_mm, q95_mm, greatest_mm] = [
    least,
    q5,
    q25,
    median,
    q75,
    q95,
    most,
  ].map((value) => roundTo(value, 3)) as [number, number, number, number, number, number, number];
  return {
    area_mm2: roundTo(areaMm2, 1),
    least_mm,
    q05_mm,
    q25_mm,
    median_mm,
    q75_mm,
    q95_mm,
    greatest_mm,
  };
}

/** `torso in coat-skirt`, `base against boots`. */
export const jointTitle = ({ parts, plug, socket }: JointReport): string =>
  plug === null ? `${parts[1]} against ${parts[0]}` : `${plug} in ${socket}`;

/** One line of text. */
export function jointLine(report: JointReport): string {
  const { gap, slide, overlap, clearance } = report;
  const { median_mm, q05_mm, q95_mm } = slide ?? gap;
  const over = overlap === null ? '' : `, overlap ${overlap.depth_mm.toFixed(2)} mm deep`;
  const made = clearance === null ? '' : `; ${clearanceText(clearance)}`;
  return `joint ${jointTitle(report)}: ${gap.area_mm2.toFixed(0)} mm², gap ${median_mm.toFixed(2)} mm (${q05_mm.toFixed(2)} to ${q95_mm.toFixed(2)})${over}${made}`;
}

/** What make-ready does for a clearance, without a stop. */
export function clearanceText({
  clearance_mm,
  gives,
  cut_mm,
}: NonNullable<JointReport['clearance']>): string {
  const what = `clearance ${clearance_mm.toFixed(2)} mm`;
  if (cut_mm === 0) return `${what}: it is there, nothing is cut`;
  return `${what}: make-ready cuts up to ${cut_mm.toFixed(2)} mm from ${gives}`;
}
