import { drainDiameter } from '../drainage/drainDiameter.ts';
import type { FindingDraft } from '../kit/finding.ts';
import type { Limits } from '../kit/manifest.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import type { OpeningId } from '../openings/opening.ts';
import type { CupLoad } from '../physics/partLoads.ts';
import type { Fluid } from '../physics/ventResistance.ts';
import type { Vec3 } from '../vector.ts';

/** What would answer a finding about openings. Print frame, mm. */
export type Need =
  | {
      readonly kind: 'vent';
      readonly chamber: number;
      /** Where the limb starts that is to breathe. */
      readonly start: Vec3;
      /** As the loads reckon it; null when they do not. */
      readonly diameterMm: number | null;
      /** The opening through which it breathes too late. */
      readonly limiting: OpeningId | null;
    }
  /** For a cup that the sculpt makes: a way through its floor into a hollow behind it. */
  | { readonly kind: 'through'; readonly start: Vec3 }
  | { readonly kind: 'drain'; readonly chamber: number; readonly leastMm: number }
  /** An opening of at least this width near a place, whatever way is up. */
  | {
      readonly kind: 'hole';
      readonly chamber: number;
      readonly near: Vec3;
      readonly leastMm: number;
      readonly purpose: HolePurpose;
    }
  | { readonly kind: 'mend'; readonly opening: OpeningId };

export type HolePurpose = 'empty' | 'rinse' | 'cure';

/** What the widths of openings follow from. */
export interface NeedSetting {
  /** SI. */
  readonly fluid: Fluid;
  readonly limits: Pick<Limits, 'lamp' | 'rinseWay'>;
}

/** None where no opening helps: the pose, the sculpt or the plate is the cause. */
export function needsFor(fault: FindingDraft, facts: PartFacts, setting: NeedSetting): Need[] {
  switch (fault.code) {
    case 'sealed-cup':
      return sealedNeeds(fault, facts);
    case 'breathes-late':
      return lateNeeds(fault, facts);
    case 'chamber-without-opening':
    case 'single-opening':
    case 'resin-trapped':
      return chamberNeeds(fault, facts, setting.fluid);
    case 'liquid-trapped':
      return trappedNeeds(fault, facts, setting.fluid);
    case 'wall-flexes':
      return wallNeeds(fault, facts);
    case 'hard-to-rinse':
      return reachNeeds(fault, facts, 'rinse', setting.limits.rinseWay);
    case 'hard-to-cure':
      return reachNeeds(fault, facts, 'cure', setting.limits.lamp);
    default:
      return mendNeeds(fault, facts);
  }
}

/** Where a tube comes out is for its wire to say, and a passage stands in two halves. */
function mendNeeds({ opening }: FindingDraft, { openings }: PartFacts): Need[] {
  const kind = openings.find(({ decision }) => decision.id === opening)?.decision.kind;
  return opening !== undefined && (kind === 'vent' || kind === 'drain') ? [{ kind: 'mend', opening }] : [];
}

function sealedNeeds(fault: FindingDraft, { loads, hollow }: PartFacts): Need[] {
  const cup = loads.cups.find(({ sealedLimbs }) => sealedLimbs.some(({ start }) => isAt(start.at, fault.at)));
  if (cup === undefined) return [];
  const { chamber } = cup;
  if (chamber === null) return hollow.chambers.length > 0 ? [{ kind: 'through', start: fault.at! }] : [];
  return [{ kind: 'vent', chamber, start: fault.at!, diameterMm: null, limiting: null }];
}

/** A hole at the pond; a chamber into which no air comes lacks one at an end. */
function trappedNeeds(fault: FindingDraft, facts: PartFacts, fluid: Fluid): Need[] {
  const chamber = facts.drains.findIndex((drain) => drain?.pond != null && isAt(drain.pond.at, fault.at));
  const { pond, freeingMm } = facts.drains[chamber] ?? { pond: null, freeingMm: null };
  if (pond === null || freeingMm === null) return chamberNeeds(fault, facts, fluid);
  return [{ kind: 'hole', chamber, near: pond.at, leastMm: freeingMm, purpose: 'empty' }];
}

function reachNeeds(
  fault: FindingDraft,
  { reach }: PartFacts,
  purpose: 'rinse' | 'cure',
  leastMm: number,
): Need[] {
  const key = purpose === 'rinse' ? 'unrinsedAt' : 'unlitAt';
  const chamber = reach.findIndex((of) => of?.[key] != null && isAt(of[key], fault.at));
  return chamber < 0 ? [] : [{ kind: 'hole', chamber, near: fault.at!, leastMm, purpose }];
}

function lateNeeds(fault: FindingDraft, { loads }: PartFacts): Need[] {
  for (const { chamber, stretches } of loads.cups) {
    const stretch = stretches.find(({ start }) => isAt(start.at, fault.at));
    if (stretch === undefined) continue;
    if (chamber === null || stretch.ventMm === null) return [];
    const limiting = stretch.breather === 'mesh' ? null : stretch.breather;
    return [{ kind: 'vent', chamber, start: stretch.start.at, diameterMm: stretch.ventMm, limiting }];
  }
  return [];
}

/** A wider vent, or one where the limb starts that pulls on the wall. */
function wallNeeds(fault: FindingDraft, { loads }: PartFacts): Need[] {
  const wall = loads.walls.find(({ at, layer }) => layer === fault.layer && isAt(at, fault.at));
  if (wall === undefined || wall.limbAt === null || wall.ventMm === null) return [];
  const { panel, limbAt, ventMm, vent } = wall;
  const limiting = vent === 'mesh' ? null : vent;
  return [{ kind: 'vent', chamber: panel.chamber, start: limbAt, diameterMm: ventMm, limiting }];
}

/** A chamber without openings, or with all at one height, lacks one at an end. */
function chamberNeeds(fault: FindingDraft, { hollow, loads, openings }: PartFacts, fluid: Fluid): Need[] {
  const chamber = hollow.chambers.findIndex(({ centroid }) => isAt(centroid, fault.at));
  if (chamber < 0) return [];
  const { bottom, top, volumeMm3 } = hollow.chambers[chamber]!;
  const leastMm = drainDiameter(volumeMm3, top - bottom, hollow.wallMm ?? 0, fluid);
  if (fault.code === 'resin-trapped') return [{ kind: 'drain', chamber, leastMm }];
  const heights = openings.flatMap(({ placed, chamber: of }) =>
    of === chamber && placed !== null ? [placed.mouth[2]] : [],
  );
  const middle = heights.reduce((sum, height) => sum + height, 0) / heights.length;
  if (heights.length > 0 && middle <= (bottom + top) / 2) return [{ kind: 'drain', chamber, leastMm }];
  const start = firstOf(loads.cups, chamber)?.at ?? hollow.chambers[chamber]!.centroid;
  return [{ kind: 'vent', chamber, start, diameterMm: null, limiting: null }];
}

function firstOf(cups: readonly CupLoad[], chamber: number): CupLoad | null {
  const own = cups.filter((cup) => cup.chamber === chamber);
  return own.length === 0 ? null : own.reduce((a, b) => (b.fromLayer < a.fromLayer ? b : a));
}

const isAt = (a: Vec3, b: Vec3 | undefined): boolean =>
  b !== undefined && a.every((value, axis) => value === b[axis]);
