import { WALL_SHORT_MM } from '../field/wallShortMm.ts';
import { setValue, type TextEdit } from '../kit/edits.ts';
import type { Limits, Part } from '../kit/manifest.ts';
import { figure, openingName, plural } from '../kit/rules/figures.ts';
import type { GoodPlace } from '../openings/nearestGoodPlace.ts';
import { FARTHEST_PLACE_MM } from '../openings/nearestGoodPlace.ts';
import type { OpeningDecision, OpeningId } from '../openings/opening.ts';
import { asDecided } from './choice.ts';
import { proposalEdits } from './proposalEdits.ts';

/** What was found when a remedy was asked for. */
export interface RemedyAnswer {
  /** What the edits do, with figures; why there are none, where nothing works. */
  readonly said: string;
  /** Of the manifest's text that was asked about; null where there is nothing to do. */
  readonly edits: readonly TextEdit[] | null;
  /** Changes more than one opening: to be looked at before it is made. */
  readonly large: boolean;
}

/** A wall that works, and what the part is hollow by with it. */
export interface FoundWall {
  readonly wallMm: number;
  readonly chambers: number;
  readonly hollowMm3: number;
  /** With the part's own wall. */
  readonly hollowNowMm3: number;
  /** Of the part as if not hollowed. */
  readonly solidMm3: number;
}

/** Less than this is no move, mm. */
const SAME_PLACE_MM = 0.01;

export function placeAnswer(
  text: string,
  { name, openings }: Part,
  id: OpeningId,
  found: GoodPlace | null,
): RemedyAnswer {
  const before = openings.find((opening) => opening.id === id);
  if (found === null || before === undefined) {
    const said = `No place within ${FARTHEST_PLACE_MM} mm of the ${openingName(id)} is good for it as wide as it is: make it narrower, take it out, or let openings be proposed.`;
    return { said, edits: null, large: false };
  }
  const { decision, movedMm } = found;
  const isSame = movedMm < SAME_PLACE_MM;
  const what = isSame
    ? `Leave the ${openingName(id)} where it is`
    : `Move the ${openingName(id)} to the nearest good place (${figure(movedMm, 'mm')} away)`;
  const choices = openings.map((own) => ({ ...asDecided(own), ...(own === before && { decision }) }));
  return answered(what + drilled(before, decision), proposalEdits(text, name, openings, choices), false);
}

/** How it is drilled otherwise than before. */
function drilled(before: OpeningDecision, { toward, depth }: OpeningDecision): string {
  const straight = before.toward !== undefined && toward === undefined ? ['straight in'] : [];
  const how =
    before.depth === depth
      ? straight
      : [...straight, depth === undefined ? 'as deep as usual' : `${figure(depth, 'mm')} deep`];
  return how.length === 0 ? '' : `, drilled ${how.join(' and ')}`;
}

export function wallAnswer(
  text: string,
  { name, wall }: Part,
  { leastWall, leastChamber, lump }: Pick<Limits, 'leastWall' | 'leastChamber' | 'lump'>,
  found: FoundWall | null,
): RemedyAnswer {
  if (found === null) {
    const said = `No wall between ${figure(leastWall + WALL_SHORT_MM, 'mm')} (limits.least-wall and a little) and ${figure(wall ?? 0, 'mm')} leaves a hollow of ${figure(leastChamber, 'ml')} (limits.least-chamber) in ${name}, free of lumps over ${figure(lump, 'mm')} (limits.lump).`;
    return { said, edits: null, large: false };
  }
  const { wallMm, chambers, hollowMm3, hollowNowMm3, solidMm3 } = found;
  const now = hollowNowMm3 > 0 ? `; now ${ml(hollowNowMm3)} of it is` : '';
  return answered(
    `Give ${name} a wall of ${wallMm} mm: ${ml(hollowMm3)} of its ${ml(solidMm3)} become hollow, in ${plural(chambers, 'chamber')}${now}`,
    setValue(text, ['parts', name, 'wall'], wallMm),
    true,
  );
}

const ml = (mm3: number): string => figure(mm3 / 1000, 'ml');

function answered(said: string, edits: readonly TextEdit[] | null, large: boolean): RemedyAnswer {
  return edits === null || edits.length === 0
    ? { said: `${said}: kit.yaml has to be changed by hand there.`, edits: null, large }
    : { said, edits, large };
}
