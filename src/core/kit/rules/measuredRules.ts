import type { FindingDraft } from '../finding.ts';
import { areaJump } from './areaJump.ts';
import { partOffScale, unitsDoubtful } from './bodySizes.ts';
import { chamberFilled } from './chamberFilled.ts';
import { chamberWithoutOpening, resinTrapped, singleOpening } from './chambers.ts';
import { clearanceThinsWall } from './clearances.ts';
import { breathesLate, sealedCup } from './cups.ts';
import { figureTipsOver } from './figureTipsOver.ts';
import { chamberLeftSolid, keepSolidIdle, tooThinToHollow } from './hollowing.ts';
import { jointRules } from './joints.ts';
import { lightBreaks, lightHoldsResin, lightMeetsOpening, lightsCross, lightWallThin } from './lights.ts';
import { liquidTrapped } from './liquidTrapped.ts';
import { doubledWall, insideOut, looseShell, meshRepaired, notWatertight } from './meshFaults.ts';
import { openingOnShowSide } from './openingOnShowSide.ts';
import { openingFaults } from './openings.ts';
import { outsidePlate, tooTall } from './outsidePlate.ts';
import { pinRules } from './pins.ts';
import {
  holdWeak,
  islandUnheld,
  raftMeetsPart,
  raftOutside,
  strutSlender,
  supportIdle,
  tipOnShowSide,
} from './plannedSupports.ts';
import { plateRules } from './plates.ts';
import { pullHigh } from './pullHigh.ts';
import { hardToCure, hardToRinse } from './reach.ts';
import { resinShort, vatRunsLow } from './resinAmounts.ts';
import { resinChanges } from './resinChanges.ts';
import type { KitContext, PartContext, PartRule } from './ruleContext.ts';
import { cutMisses, keyWithoutRoom } from './seams.ts';
import { contactCut, largeCeiling, needsSupports, startsInAir } from './supports.ts';
import { looseInside, lumpSolid, spikeInside, thinWeb, wallThin } from './trueWall.ts';
import { wallFlexes } from './wallFlexes.ts';

const rules: readonly PartRule[] = [
  partOffScale,
  outsidePlate,
  tooTall,
  cutMisses,
  keyWithoutRoom,
  notWatertight,
  meshRepaired,
  insideOut,
  doubledWall,
  looseShell,
  tooThinToHollow,
  chamberLeftSolid,
  keepSolidIdle,
  wallThin,
  lumpSolid,
  thinWeb,
  spikeInside,
  looseInside,
  openingFaults,
  openingOnShowSide,
  chamberWithoutOpening,
  singleOpening,
  resinTrapped,
  chamberFilled,
  liquidTrapped,
  hardToRinse,
  hardToCure,
  sealedCup,
  breathesLate,
  needsSupports,
  contactCut,
  startsInAir,
  islandUnheld,
  holdWeak,
  raftMeetsPart,
  raftOutside,
  strutSlender,
  supportIdle,
  tipOnShowSide,
  largeCeiling,
  areaJump,
  pullHigh,
  wallFlexes,
  vatRunsLow,
  lightWallThin,
  lightMeetsOpening,
  lightsCross,
  lightHoldsResin,
];

const kitWide = [
  unitsDoubtful,
  resinShort,
  resinChanges,
  plateRules,
  jointRules,
  clearanceThinsWall,
  pinRules,
  figureTipsOver,
  lightBreaks,
];

/** Everything the measurement of one part tells. */
export function partRules(context: PartContext): FindingDraft[] {
  return rules.flatMap((rule) => rule(context));
}

/** What only the parts together tell. */
export function kitRules(context: KitContext): FindingDraft[] {
  return kitWide.flatMap((rule) => rule(context));
}
