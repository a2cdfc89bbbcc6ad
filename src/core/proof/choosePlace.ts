import type { Limits } from '../kit/manifest.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import { figure, layerPlace, openingName } from '../kit/rules/figures.ts';
import { unheldCeilings } from '../kit/rules/supports.ts';
import { assumedPanel } from '../kit/rules/wallFlexes.ts';
import type { Ceiling } from '../layers/layerFigures.ts';
import type { OpeningFacts } from '../openings/opening.ts';
import type { CupLoad } from '../physics/partLoads.ts';
import type { WallLoad } from '../physics/wallLoads.ts';
import { failure, type Result, success } from '../result.ts';
import type { Box, Vec3 } from '../vector.ts';
import type { ProofAsk, ProofPlace } from './proofPlace.ts';

/** Solid round a feature for a part that has no wall to go by, mm. */
const usualWallMm = 1.5;
/** Under a ceiling a piece shows at least this much of what it closes over, mm. */
const underCeilingMm = 3;

type Facts = Pick<PartFacts, 'layers' | 'loads' | 'openings' | 'hollow' | 'supports' | 'mesh' | 'name'>;

/**
 * The place that a proof piece is taken from. Asked for nothing, the worst one, in this order: the
 * largest ceiling that `large-ceiling` tells; the opening through which the cup breathes that pulls most;
 * the wall that uses most of its strength; the widest opening.
 *
 * Fails `place-unknown` where there is no such thing.
 */
export function choosePlace(facts: Facts, limits: Limits, ask: ProofAsk | null): Result<ProofPlace> {
  const rim = 2 * (facts.hollow.wallMm ?? usualWallMm);
  if (ask === null) return worstPlace(facts, limits, rim);
  if (ask.kind === 'place') return success(givenPlace(ask.at, rim));
  if (ask.kind === 'key') return keyPlace(facts, ask.index, rim);
  const found = { ceiling: largestCeiling, wall: weakestWall, opening: namedOpening }[ask.kind](
    facts,
    limits,
    rim,
    ask.kind === 'opening' ? ask.id : '',
  );
  return found === null ? failure('place-unknown', unknown(facts, ask)) : success(found);
}

function worstPlace(facts: Facts, limits: Limits, rim: number): Result<ProofPlace> {
  const worst =
    (unheldCeilings(facts, limits).length > 0 ? largestCeiling(facts, limits, rim) : null) ??
    pullingOpening(facts, rim) ??
    weakestWall(facts, limits, rim) ??
    widestOpening(facts, rim);
  if (worst !== null) return success(worst);
  return failure(
    'place-unknown',
    `${facts.name} has no large ceiling, no opening and no strained wall, so nothing is in doubt. Name a place with --at X,Y,Z.`,
  );
}

function unknown({ name, openings, hollow }: Facts, ask: Exclude<ProofAsk, { kind: 'key' }>): string {
  if (ask.kind === 'ceiling')
    return `${name} has no ceiling that is told; limits.ceiling and limits.ceiling-span say what is one. Name a place with --at X,Y,Z.`;
  if (ask.kind === 'wall') {
    const why = hollow.wallMm === null ? 'it is solid' : 'nothing pulls on its walls';
    return `${name} has no strained wall: ${why}. Name a place with --at X,Y,Z.`;
  }
  const placed = openings.flatMap(({ placed }) => placed?.id ?? []);
  return `${name} has no opening ${ask.kind === 'opening' ? `\`${ask.id}\`` : ''} that is cut. It has: ${placed.join(', ') || 'none'}.`;
}

function largestCeiling(facts: Facts, limits: Limits, rim: number): ProofPlace | null {
  const told = unheldCeilings(facts, limits);
  const ceilings = told.length > 0 ? told : facts.layers.ceilings;
  if (ceilings.length === 0) return null;
  const largest = ceilings.reduce((a, b) => (b.areaMm2 > a.areaMm2 ? b : a));
  const { layer, areaMm2, at } = largest;
  const held = told.length > 0 ? '' : ' that planned supports hold';
  const why = `The largest ceiling${held}: ${figure(areaMm2, 'mm²')} close over void at once in ${layerPlace(layer, facts.layers.layerHeight)}, with a free span of up to ${figure(largest.spanMm, 'mm')}.`;
  return { kind: 'ceiling', opening: null, at, feature: ceilingBox(largest, rim), whole: false, why };
}

function ceilingBox({ at, spanMm }: Ceiling, rim: number): Box {
  const [x, y, z] = at;
  const r = spanMm / 2 + rim;
  return { min: [x - r, y - r, z - underCeilingMm], max: [x + r, y + r, z + rim] };
}

/** The opening of the cup that pulls most; the one it breathes through where that is known. */
function pullingOpening({ loads, openings }: Facts, rim: number): ProofPlace | null {
  const cups = loads.cups.filter(({ peakPullN }) => peakPullN > 0).sort((a, b) => b.peakPullN - a.peakPullN);
  for (const cup of cups) {
    const ids = [cup.breather, ...(cup.chamber === null ? [] : loads.chamberOpenings[cup.chamber]!)];
    const first = ids.flatMap((id) => openings.find(({ placed }) => placed?.id === id) ?? [])[0];
    if (first !== undefined) return openingPlace(first, rim, pullOf(cup));
  }
  return null;
}

const pullOf = ({ peakPullN, peakPullLayer }: CupLoad): string =>
  `of the cup that pulls most: ${figure(peakPullN, 'N')} in layer ${peakPullLayer}`;

function widestOpening({ openings }: Facts, rim: number): ProofPlace | null {
  const placed = openings.filter((one) => one.placed !== null);
  if (placed.length === 0) return null;
  const widest = placed.reduce((a, b) => (b.placed!.radius > a.placed!.radius ? b : a));
  return openingPlace(widest, rim, 'the widest');
}

function namedOpening({ openings }: Facts, _: Limits, rim: number, id: string): ProofPlace | null {
  const found = openings.find(({ placed }) => placed?.id === id);
  return found === undefined ? null : openingPlace(found, rim, 'as asked');
}

function openingPlace({ placed, chamberDepthMm }: OpeningFacts, rim: number, which: string): ProofPlace {
  const { id, mouth, axis, radius, outward } = placed!;
  const inward = (chamberDepthMm ?? placed!.depth) + rim / 2;
  const sides = [0, 1, 2].map((axisNumber) => {
    const along = axis[axisNumber]!;
    const across = (radius + rim) * Math.sqrt(Math.max(0, 1 - along * along));
    const ends = [-outward * along, inward * along].map((way) => mouth[axisNumber]! + way);
    return [Math.min(...ends) - across, Math.max(...ends) + across] as const;
  });
  const feature: Box = {
    min: sides.map(([low]) => low) as unknown as Vec3,
    max: sides.map(([, high]) => high) as unknown as Vec3,
  };
  const why = `The ${openingName(id)} of ${figure(2 * radius, 'mm')}, ${which}.`;
  return { kind: 'opening', opening: id, at: mouth, feature, whole: true, why };
}

function weakestWall({ loads }: Facts, _: Limits, rim: number): ProofPlace | null {
  const worst = loads.walls[0];
  if (worst === undefined) return null;
  const share = figure(100 * worst.strain, '%');
  const why = `The most strained wall, taken as ${assumedPanel(worst)}: it uses ${share} of what it bears, in layer ${worst.layer}.`;
  return { kind: 'wall', opening: null, at: worst.at, feature: wallBox(worst, rim), whole: false, why };
}

function wallBox({ at: [x, y, z], panel }: WallLoad, rim: number): Box {
  const r = panel.spanMm / 2 + rim;
  return { min: [x - r, y - r, z - r], max: [x + r, y + r, z + r] };
}

function keyPlace({ mesh, name }: Facts, index: number, rim: number): Result<ProofPlace> {
  const keys = mesh.seams.flatMap(({ keys }, seam) => keys.map((key) => ({ ...key, seam })));
  const key = keys[index];
  if (key === undefined) {
    const has = keys.length === 0 ? 'It has none.' : `It has: ${keys.map((_, n) => `keys/${n}`).join(', ')}.`;
    return failure('place-unknown', `${name} has no key \`keys/${index}\`. ${has}`);
  }
  const { at, diameterMm, lengthMm, seam } = key;
  const [x, y, z] = at;
  const r = Math.max(diameterMm / 2, lengthMm) + rim;
  const feature: Box = { min: [x - r, y - r, z - r], max: [x + r, y + r, z + r] };
  const why = `The key ${index}, ${figure(diameterMm, 'mm')} wide and ${figure(lengthMm, 'mm')} long.`;
  return success({ kind: 'key', opening: null, seam, at, feature, whole: true, why });
}

function givenPlace(at: Vec3, rim: number): ProofPlace {
  const [x, y, z] = at;
  const feature: Box = { min: [x - rim, y - rim, z - rim], max: [x + rim, y + rim, z + rim] };
  return { kind: 'place', opening: null, at, feature, whole: true, why: 'The place that was asked for.' };
}
