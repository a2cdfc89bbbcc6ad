import { bendDiameters, bendLimitMm, mostFilled } from '../../lights/bendLimit.ts';
import { heldInTube } from '../../lights/heldInTube.ts';
import { ledRun } from '../../lights/ledRun.ts';
import type { Light } from '../../lights/light.ts';
import { lightCurve } from '../../lights/lightCurve.ts';
import type { LightFacts, LightPass } from '../../lights/lightPasses.ts';
import { tubesNear } from '../../lights/tubesNear.ts';
import type { PlacedOpening } from '../../openings/opening.ts';
import { segmentsApart } from '../../segmentsApart.ts';
import { add, norm, scale, subtract, type Vec3 } from '../../vector.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
import type { Manifest, ManifestPath } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { nearestWord } from '../nearestWord.ts';
import { roundTo } from '../rounding.ts';
import { figure, figuresApart, openingName } from './figures.ts';
import type { KitContext, PartContext } from './ruleContext.ts';

/** What the text alone tells of lights. */
export function lightTexts(manifest: Manifest): FindingDraft[] {
  return manifest.lights.flatMap((light) => [
    ...unknownParts(light, manifest),
    ...bendsTight(light, manifest),
    ...tubeNarrow(light),
    ...wires(light, manifest),
  ]);
}

const at = ({ name }: Light, ...keys: ManifestPath): { part: null; path: ManifestPath } => ({
  part: null,
  path: ['lights', name, ...keys],
});

function unknownParts(light: Light, { parts }: Manifest): FindingDraft[] {
  const known = parts.map(({ name }) => name);
  return light.through.flatMap(({ index, part }): FindingDraft[] => {
    if (known.includes(part)) return [];
    const nearest = nearestWord(part, known);
    const advice = nearest === null ? 'Correct the name, or take it out.' : `Did you mean ${nearest}?`;
    const message = `The light ${light.name} runs through ${shorten(part)}, which is no part of this kit. ${advice}`;
    return [{ code: 'light-part-unknown', ...at(light, 'through', index), message }];
  });
}

function bendsTight(light: Light, { scale: { factor } }: Manifest): FindingDraft[] {
  if (factor === null) return [];
  const radius = light.diameter / 2;
  const curve = lightCurve(
    light.path.map((point) => scale(point, factor)),
    radius + light.lining,
  );
  if (curve === null) return [];
  const inside = Math.max(0, curve.leastRadiusMm - radius);
  const limit = light.carries === null ? radius : bendLimitMm(light.carries);
  if (inside >= limit) return [];
  const [is, least] = figuresApart(inside, limit, 'mm');
  const where = curve.leastRadiusAt.map((along) => roundTo(along / factor, 2)).join(', ');
  return [
    {
      code: 'light-bends-tight',
      ...at(light, 'path'),
      message: `The light ${light.name} bends to ${is} at the inside near [${where}], tighter than ${least}: ${why(light)}. Move its points apart there, or take ${light.carries === null ? 'a narrower tube' : 'a thinner one'}.`,
      measured: inside,
      limit,
      unit: 'mm',
    },
  ];
}

function why({ carries, diameter }: Light): string {
  if (carries === null) return `half of the tube’s ${figure(diameter, 'mm')}`;
  const { kind, bendRadius, diameter: across } = carries;
  if (bendRadius !== null) return `the ${kind}’s own (bend-radius)`;
  return `${bendDiameters[kind]} diameters of a ${kind} of ${figure(across, 'mm')}`;
}

function tubeNarrow(light: Light): FindingDraft[] {
  const { diameter, carries, connector, leds } = light;
  const drafts: FindingDraft[] = [];
  const say = (what: string, needs: number, advice: string): void => {
    const [is, least] = figuresApart(diameter, needs, 'mm');
    const message = `The tube of the light ${light.name} is ${is} wide; ${what} needs ${least}. ${advice}`;
    drafts.push({
      code: 'light-tight',
      ...at(light, 'diameter'),
      message,
      measured: diameter,
      limit: needs,
      unit: 'mm',
    });
  };
  if (carries !== null) {
    const { count, diameter: across, kind } = carries;
    const needs = across * Math.sqrt(count / mostFilled(count));
    if (needs > diameter) {
      const what = count === 1 ? `a ${kind}` : `${count} ${kind}s`;
      const share = `${Math.round(100 * mostFilled(count))} % of it may be filled`;
      say(`${what} of ${figure(across, 'mm')} (${share})`, needs, 'Widen it, or carry less.');
    }
  }
  if (connector !== null && connector > diameter)
    say('its connector, to be threaded through,', connector, 'Widen it, or fit the connector afterwards.');
  if (leds?.sizeMm != null && leds.sizeMm > diameter)
    say('its LED', leds.sizeMm, 'Widen it, or open the place of the LED from outside.');
  return drafts;
}

function wires(light: Light, { lightLimits }: Manifest): FindingDraft[] {
  const { leds } = light;
  if (leds === null) return [];
  const run = ledRun(leds);
  const drafts: FindingDraft[] = [];
  const say = (
    code: FindingDraft['code'],
    message: string,
    measured: number,
    limit: number,
    unit: string,
  ): void => void drafts.push({ code, ...at(light, 'leds'), message, measured, limit, unit });
  const arrive = `${figure(run.arrivesV, 'V')} of ${figure(leds.supplyV, 'V')} arrive at the LEDs of ${light.name}`;
  if (run.arrivesV <= leds.forwardV)
    say(
      'led-voltage-low',
      `${arrive}, which need ${figure(leds.forwardV, 'V')} and something for their resistor: they stay dark or dim. Take a higher supply, or thicker or shorter wire.`,
      run.arrivesV,
      leds.forwardV,
      'V',
    );
  const drop = (100 * run.dropV) / leds.supplyV;
  if (drop > lightLimits.dropPercent)
    say(
      'led-wire-thin',
      `The wires of ${light.name} lose ${figure(run.dropV, 'V')} (${figure(drop, '%')}, limit ${figure(lightLimits.dropPercent, '%')}) at ${figure(run.currentA, 'A')}. Take thicker or shorter wire.`,
      drop,
      lightLimits.dropPercent,
      '%',
    );
  if (run.currentA > run.wireA)
    say(
      'led-wire-thin',
      `The wires of ${light.name} carry ${figure(run.currentA, 'A')}; copper of ${figure(run.copperMm2, 'mm²')} in a bundle may carry ${figure(run.wireA, 'A')} all day and grow warm beyond. Take thicker wire, or fewer LEDs.`,
      run.currentA,
      run.wireA,
      'A',
    );
  if (run.ledW > lightLimits.heatW)
    say(
      'led-heat',
      `The LEDs of ${light.name} make up to ${figure(run.ledW, 'W')} of heat in the figure. Dim them, or lead the heat out: cured resin softens, and a closed hollow holds it. Feel it after some hours before you close the figure.`,
      run.ledW,
      lightLimits.heatW,
      'W',
    );
  return drafts;
}

/** A wall within this of what is asked for is as asked: what the lattice of a hollow leaves uncertain, mm. */
const WALL_SLACK_MM = 0.1;

/** What a light does in one part. */
export function lightWallThin({ part, facts }: PartContext): FindingDraft[] {
  return facts.lights.flatMap((light): FindingDraft[] => {
    const { thinnest, liningMm, leastLiningMm, name } = light;
    const drafts: FindingDraft[] = [];
    const say = (wallMm: number, what: string, place: Vec3 | null): void => {
      const [is, least] = figuresApart(wallMm, liningMm, 'mm');
      drafts.push({
        code: 'light-wall-thin',
        part: part.name,
        path: ['lights', name, 'path'],
        message: `The light ${name} leaves ${wallMm > 0 ? is : 'nothing'} of ${part.name} ${what}, less than ${least} (lining). Move its points inward, or take a narrower tube.`,
        ...(place && { at: place }),
        measured: Math.max(0, wallMm),
        limit: liningMm,
        unit: 'mm',
      });
    };
    if (thinnest !== null && thinnest.wallMm < liningMm - WALL_SLACK_MM)
      say(thinnest.wallMm, 'to the outside', thinnest.at);
    if (leastLiningMm !== null && leastLiningMm < liningMm - WALL_SLACK_MM)
      say(leastLiningMm, 'to its hollow', null);
    return drafts;
  });
}

/** A vent, drain or tube that comes into a light's tube opens the chamber to it. */
export function lightMeetsOpening({ part, facts }: PartContext): FindingDraft[] {
  return facts.lights.flatMap((light) =>
    facts.openings.flatMap(({ placed }): FindingDraft[] => {
      if (placed === null) return [];
      const { apart, point } = nearestApart(light, placed);
      const between = apart - light.radiusMm - placed.radius;
      if (between >= light.liningMm - WALL_SLACK_MM) return [];
      const how =
        between <= 0
          ? `runs into ${openingName(placed.id)}`
          : `leaves ${figure(between, 'mm')} to ${openingName(placed.id)}`;
      return [
        {
          code: 'light-meets-opening',
          part: part.name,
          path: ['lights', light.name, 'path'],
          message: `The light ${light.name} ${how} of ${part.name}, less than ${figure(light.liningMm, 'mm')} (lining): resin and air get from one into the other. Move one of them.`,
          at: point,
          opening: placed.id,
          measured: Math.max(0, between),
          limit: light.liningMm,
          unit: 'mm',
          remedies: remediesOf(placed),
        },
      ];
    }),
  );
}

/** A passage cannot leave its seam; where a tube comes out is for its wire to say, so a proposal leaves it. */
function remediesOf({ kind, id }: PlacedOpening): Remedy[] {
  if (kind === 'passage') return [];
  const place: Remedy = { kind: 'find-place', opening: id };
  return kind === 'tube' ? [place] : [place, { kind: 'propose' }];
}

/** Least distance between a chain and the axis of an opening, and where on the chain. */
function nearestApart(
  { points }: LightFacts,
  { mouth, axis, depth }: PlacedOpening,
): { apart: number; point: Vec3 } {
  let best = { apart: Number.POSITIVE_INFINITY, point: points[0]! };
  for (const [n, to] of points.slice(1).entries()) {
    const { onFirst, onSecond } = segmentsApart(points[n]!, to, mouth, add(mouth, scale(axis, depth)));
    const apart = norm(subtract(onFirst, onSecond));
    if (apart < best.apart) best = { apart, point: onFirst };
  }
  return best;
}

/** Two tubes of a part that leave less between them than the wider lining; a branch, which ends in the other, is meant. */
export function lightsCross({ part, facts: { lights } }: PartContext): FindingDraft[] {
  return lights.flatMap((light, n) =>
    lights.slice(n + 1).flatMap((other) => {
      const limit = Math.max(light.liningMm, other.liningMm);
      return tubesNear(light, other, limit - WALL_SLACK_MM).map(
        ({ betweenMm, at, alongMm }): FindingDraft => {
          const measured = Math.max(0, betweenMm);
          const [is, least] = figuresApart(measured, limit, 'mm');
          const how = measured === 0 ? 'run into each other, where' : `leave ${is} between them, where`;
          return {
            code: 'lights-cross',
            part: part.name,
            path: ['lights', light.name, 'path'],
            message: `The lights ${light.name} and ${other.name} ${how} ${least} (lining) must stand in ${part.name}, ${figure(alongMm, 'mm')} along ${light.name}. Move the points of one, or let its path end in the other’s tube if it is to branch off it.`,
            at,
            measured,
            limit,
            unit: 'mm',
          };
        },
      );
    }),
  );
}

/** More than a drop that clings, ml. Engineering choice. */
const DROP_ML = 0.05;

/** What stays in a tube as the part hangs, pass by pass. */
export function lightHoldsResin({ part, facts: { lights } }: PartContext): FindingDraft[] {
  return lights.flatMap((light) =>
    light.passes.flatMap((pass): FindingDraft[] => {
      const held = heldInTube(light, pass);
      const ml = (held?.volumeMm3 ?? 0) / 1000;
      if (held === null || ml <= DROP_ML) return [];
      const remedy = held.isSealed
        ? 'No end of it is open, so nothing gets it out: lead an end out of the part.'
        : 'Blow it out before the wash, and rinse it through; or turn the part so that the tube falls all the way to an open end.';
      return [
        {
          code: 'light-holds-resin',
          part: part.name,
          path: ['lights', light.name, 'path'],
          message: `${figure(ml, 'ml')} of resin stay in the tube of the light ${light.name} while ${part.name} hangs, deepest ${figure(held.alongMm, 'mm')} along it. ${remedy}`,
          at: held.at,
          measured: ml,
          limit: DROP_ML,
          unit: 'ml',
        },
      ];
    }),
  );
}

interface Stretch extends LightPass {
  readonly part: string;
}

/** Told where every part that a light runs through was measured. */
export function lightBreaks({ manifest, facts }: KitContext): FindingDraft[] {
  return manifest.lights.flatMap((light) => {
    const parts = light.through.map(({ part }) => part);
    if (parts.length === 0 || !parts.every((part) => facts.has(part))) return [];
    const stretches = parts.flatMap((part): Stretch[] =>
      (facts.get(part)!.lights.find(({ name }) => name === light.name)?.passes ?? []).map((pass) => ({
        ...pass,
        part,
      })),
    );
    const missed = parts.filter((part) => !stretches.some((stretch) => stretch.part === part));
    return [
      ...missed.map(
        (part): FindingDraft => ({
          code: 'light-breaks',
          ...at(light, 'through'),
          message: `The light ${light.name} never enters ${part}. Move its points, or take ${part} out of through.`,
        }),
      ),
      ...gapsBetween(light, stretches, manifest.lightLimits.gapMm),
    ];
  });
}

function gapsBetween(light: Light, stretches: readonly Stretch[], gapMm: number): FindingDraft[] {
  const inOrder = [...stretches].sort((a, b) => a.fromMm - b.fromMm);
  const drafts: FindingDraft[] = [];
  let reached = inOrder[0];
  for (const next of inOrder.slice(1)) {
    const open = next.fromMm - reached!.toMm;
    if (open > gapMm) {
      const way =
        next.part === reached!.part
          ? `leaves ${next.part} and comes back after ${figure(open, 'mm')}`
          : `leaves ${reached!.part} ${figure(open, 'mm')} before it enters ${next.part}`;
      drafts.push({
        code: 'light-breaks',
        ...at(light, 'path'),
        message: `The light ${light.name} ${way}, ${figure(reached!.toMm, 'mm')} from its start: it lies bare there. Move its points into the parts, or name the part between.`,
        measured: open,
        limit: gapMm,
        unit: 'mm',
      });
    }
    if (next.toMm > reached!.toMm) reached = next;
  }
  return drafts;
}
