import type { OpeningDecision } from '../../openings/opening.ts';
import type { WallLoad } from '../../physics/wallLoads.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
import { partResin } from '../partResin.ts';
import { figure, figuresApart, layerPlace, openingName, plural } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/**
 * One finding a chamber and load, at the wall that is strained most: walls of one chamber fail for one reason.
 * What a sealed cup would do to its walls is not told again: `sealed-cup` is.
 */
export function wallFlexes({ manifest, part, facts }: PartContext): FindingDraft[] {
  const groups = new Map<string, WallLoad[]>();
  for (const wall of facts.loads.walls) {
    if (wall.strain <= 1 || wall.sealed) continue;
    const key = `${wall.panel.chamber} ${wall.load}`;
    groups.set(key, [...(groups.get(key) ?? []), wall]);
  }
  return [...groups.values()].map((walls): FindingDraft => {
    const worst = walls[0]!;
    const { machine, limits } = manifest;
    const strength = partResin(manifest, part).greenStrength;
    const breather = facts.openings.find(({ decision }) => decision.id === worst.vent)?.decision ?? null;
    return {
      code: 'wall-flexes',
      ...atPart(part),
      message: `A wall of ${part.name}, taken as ${assumedPanel(worst)}, ${whatHappens(worst, limits.wallFlex, strength)} under ${pressureOf(worst)} in ${layerPlace(worst.layer, machine.layer)}. ${advice(worst, breather)}${moreWalls(walls.length - 1)}`,
      layer: worst.layer,
      at: worst.at,
      ...figuresOf(worst, limits.wallFlex),
      remedies: remediesOf(worst, breather),
    };
  });
}

/** How a wall is taken for its strength, in words. */
export function assumedPanel({ panel, rising }: Pick<WallLoad, 'panel' | 'rising'>): string {
  const mm = (value: number): string => figure(Math.round(value), 'mm');
  if (panel.shape === 'tube')
    return `a tube of ${mm(panel.radiusMm!)} radius and ${mm(panel.spanMm)} free length, one end free`;
  if (panel.shape === 'shell')
    return `part of a sphere of ${mm(panel.radiusMm!)} radius, at a fifth of its buckling pressure`;
  const long = panel.lengthMm > 1.05 * panel.spanMm ? ` and ${mm(panel.lengthMm)} long` : '';
  const rim = rising ? 'its rim free at the film' : 'its rim held';
  return `a flat panel of ${mm(panel.spanMm)} across${long}, ${rim}`;
}

/** Every limit that is passed, the worst first. */
function whatHappens(
  { passes, stressMpa, deflectionMm, bearsKpa, valid }: WallLoad,
  flexMm: number,
  strengthMpa: number,
): string {
  const rough = valid ? '' : ' (roughly: the formula does not reach that far)';
  if (passes === 'buckling') return `caves in: it bears ${figure(bearsKpa, 'kPa')}${rough},`;
  const [bends, most] = figuresApart(deflectionMm, flexMm, 'mm');
  const [stress, strength] = figuresApart(stressMpa, strengthMpa, 'MPa');
  const told = [
    ...(deflectionMm > flexMm ? [`bends ${bends}, over ${most}`] : []),
    ...(stressMpa > strengthMpa ? [`is stressed to ${stress}, over its green strength of ${strength}`] : []),
  ];
  return `${(passes === 'stress' ? told.reverse() : told).join(', and ')}${rough},`;
}

const pressureOf = ({ load, pressureKpa }: WallLoad): string =>
  load === 'peel'
    ? `the peel of ${figure(pressureKpa, 'kPa')} as it parts from the film`
    : `a suction of up to ${figure(pressureKpa, 'kPa')}`;

function advice(wall: WallLoad, breather: OpeningDecision | null): string {
  const thicker =
    wall.neededWallMm === null ? null : `a wall of ${figure(wall.neededWallMm, 'mm')} would bear it`;
  if (wall.load === 'peel')
    return thicker === null
      ? 'Tilt the part, so that it does not part from the film all at once.'
      : `Tilt the part, or make it thicker: ${thicker}.`;
  const bears = `It bears ${figure(wall.bearsKpa, 'kPa')}`;
  const ways = [ventAdvice(wall, breather), thicker].filter((way) => way !== null);
  return ways.length > 0
    ? `${bears}: ${ways.join('; or ')}.`
    : `${bears}. The squeeze between the hollow’s floor and the film is more than that by itself, and no vent helps: tilt the part.`;
}

function ventAdvice({ ventMm }: WallLoad, breather: OpeningDecision | null): string | null {
  if (ventMm === null) return null;
  const size = figure(ventMm, 'mm');
  if (breather === null) return `a vent of ${size}, printed by then, would keep the suction under that`;
  const name = openingName(breather.id);
  return breather.diameter >= ventMm
    ? `the ${name} is wide enough but not yet printed, or not there: a vent of ${size}, printed by then, would keep the suction under that`
    : `the ${name} made ${size} wide and printed by then would keep the suction under that`;
}

const moreWalls = (count: number): string =>
  count === 0
    ? ''
    : ` ${plural(count, 'more wall')} of that chamber ${count === 1 ? 'is over its limit' : 'are over their limits'} too.`;

function figuresOf(
  { passes, stressMpa, strain, deflectionMm, pressureKpa }: WallLoad,
  flexMm: number,
): Required<Pick<FindingDraft, 'measured' | 'limit' | 'unit'>> {
  if (passes === 'deflection') return { measured: deflectionMm, limit: flexMm, unit: 'mm' };
  if (passes === 'stress') return { measured: stressMpa, limit: stressMpa / strain, unit: 'MPa' };
  return { measured: pressureKpa, limit: pressureKpa / strain, unit: 'kPa' };
}

/** A wider opening where that one is too narrow; the proposal, for one that is not printed in time; a thicker wall. */
function remediesOf({ load, ventMm, neededWallMm }: WallLoad, breather: OpeningDecision | null): Remedy[] {
  const wall: Remedy[] = neededWallMm === null ? [] : [{ kind: 'wall', value: neededWallMm }];
  if (load === 'peel' || ventMm === null) return wall;
  const tenths = Math.ceil(10 * ventMm) / 10;
  if (breather === null || breather.diameter >= tenths) return [{ kind: 'propose' }, ...wall];
  return [{ kind: 'diameter', value: tenths, opening: breather.id }, { kind: 'propose' }, ...wall];
}
