import type { Interrupter } from '../interrupter.ts';
import { diametersMm } from '../openings/diameters.ts';
import { type Result, success } from '../result.ts';
import { type Choice, decisionsOf, numbered } from './choice.ts';
import type { Judged } from './improveChoices.ts';
import { type Badness, badness, isAsGood, type Judge, type Judgement, nameOf } from './judgement.ts';

/** Judges quickly by what most sets fail at, and thoroughly what is left. */
export interface Judges {
  readonly quick: Judge;
  readonly thorough: Judge;
}

/** Whether a set will do, and what was found of it as far as was looked. */
type Accept = (choices: readonly Choice[]) => Promise<Result<{ good: boolean; judgement: Judgement }>>;

/** Of a stretch of suction that stays whatever is drilled, and of the pull: how much longer and greater fewer openings may leave it. Engineering choice. */
const LONGER = 2;
const HARDER = 1.25;

/** Takes back what is new, or makes it narrower, as long as nothing more is said against the rest. */
export async function pruneChoices(
  start: Judged,
  judges: Judges,
  interrupter: Interrupter,
): Promise<Result<Judged>> {
  const accept = await acceptAsGood(start, judges);
  if (!accept.ok) return accept;
  const all = start.choices;
  let now = start;
  for (let index = all.length - 1; index >= 0; index--) {
    interrupter((all.length - index) / all.length);
    if (all[index]!.was !== null) continue;
    const pruned = await pruneChoice(now, index, accept.value);
    if (!pruned.ok) return pruned;
    now = pruned.value;
  }
  return success({ ...now, choices: numbered(now.choices) });
}

async function acceptAsGood(
  { choices, judgement }: Judged,
  { quick, thorough }: Judges,
): Promise<Result<Accept>> {
  const own = await quick(decisionsOf(choices));
  if (!own.ok) return own;
  const limits = { quick: badness(own.value), thorough: badness(judgement) };
  return success(async (set) => {
    const decisions = decisionsOf(numbered(set));
    const glance = await quick(decisions);
    if (!glance.ok) return glance;
    if (!isGood(badness(glance.value), glance.value, limits.quick))
      return success({ good: false, judgement: glance.value });
    const whole = await thorough(decisions);
    if (!whole.ok) return whole;
    return success({
      good: isGood(badness(whole.value), whole.value, limits.thorough),
      judgement: whole.value,
    });
  });

  function isGood(bad: Badness, found: Judgement, limit: Badness): boolean {
    return isAsGood(bad, limit) || (bad.pull <= HARDER * limit.pull && hasNoOther(found, judgement));
  }
}

/**
 * Whether nothing else is said than that limbs breathe late as they do anyway, over a flat floor say: vent
 * after vent shortens that a little and cures nothing.
 */
function hasNoOther({ faults }: Judgement, start: Judgement): boolean {
  const late = new Map(
    start.faults.flatMap((fault) =>
      fault.code === 'breathes-late' ? [[nameOf(fault), fault.measured ?? 0]] : [],
    ),
  );
  if (late.size === 0) return false;
  const others = new Set(start.faults.map(nameOf));
  return faults.every((fault) => {
    const before = late.get(nameOf(fault));
    return before === undefined ? others.has(nameOf(fault)) : (fault.measured ?? 0) <= LONGER * before;
  });
}

/** One new opening taken back, else as narrow as it can be; what was worse without it is noted with it. */
async function pruneChoice(
  { choices, judgement }: Judged,
  index: number,
  accept: Accept,
): Promise<Result<Judged>> {
  const without = choices.filter((_, at) => at !== index);
  const gone = await accept(without);
  if (!gone.ok) return gone;
  if (gone.value.good) return success({ choices: without, judgement: gone.value.judgement });
  const choice = { ...choices[index]!, without: gone.value.judgement };
  let narrower: Choice['narrower'];
  for (const diameter of diametersMm) {
    if (diameter < (choice.least?.mm ?? 0)) continue;
    if (diameter >= choice.decision.diameter) break;
    const tried = { ...choice, decision: { ...choice.decision, diameter }, ...(narrower && { narrower }) };
    const set = choices.with(index, tried);
    const judged = await accept(set);
    if (!judged.ok) return judged;
    if (judged.value.good) return success({ choices: set, judgement: judged.value.judgement });
    narrower = { diameterMm: diameter, judgement: judged.value.judgement };
  }
  return success({ choices: choices.with(index, { ...choice, ...(narrower && { narrower }) }), judgement });
}
