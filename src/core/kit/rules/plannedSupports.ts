import type { Support } from '../../supports/supportPlan.ts';
import type { FindingDraft } from '../finding.ts';
import { figure, layerPlace, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** Where what starts in air gets no support: there is no way for one, as beyond the plate’s edge. */
export function islandUnheld({ part, facts }: PartContext): FindingDraft[] {
  const height = facts.layers.layerHeight;
  return tellLargest(
    facts.supports?.unreached ?? [],
    ({ layer }) => -layer,
    ({ layer, at, keptFree }) => ({
      code: 'island-unheld',
      ...atPart(part),
      message: `${part.name} starts in air in ${layerPlace(layer, height)} ${keptFree ? 'where supports.keep-free lets no support touch it; put one there by hand, or keep less free.' : 'with no way for a support to get there; turn the part, or give the plate room.'}`,
      layer,
      at,
    }),
  );
}

/** Tips that tear, or a plate that lets go, whatever the plan does. */
export function holdWeak({ part, facts }: PartContext): FindingDraft[] {
  const worst = facts.supports?.worst ?? null;
  if (worst === null || worst.reserve >= 1) return [];
  const { reserve, layer, at } = worst;
  const where = layerPlace(layer, facts.layers.layerHeight);
  const load = figure(facts.loads.pullN[layer] ?? 0, 'N');
  return [
    at === null
      ? {
          code: 'hold-weak',
          ...atPart(part),
          message: `In ${where}, with a pull of ${load}, the plate holds ${figure(reserve, 'times')} what pulls on a foot, or on what stands there, of ${part.name}. Stand it on more, let the cup breathe, or turn the part.`,
          layer,
          measured: reserve,
          limit: 1,
          unit: '',
        }
      : {
          code: 'tip-overloaded',
          ...atPart(part),
          message: `In ${where}, with a pull of ${load}, the weakest tip under ${part.name} bears ${figure(reserve, 'times')} its load as wide as it may be. Let the cup breathe, turn the part, or allow wider tips.`,
          layer,
          at,
          measured: reserve,
          limit: 1,
          unit: '',
        },
  ];
}

/** What the builder has placed himself and holds nothing. */
export function supportIdle({ part, facts }: PartContext): FindingDraft[] {
  return (facts.supports?.idle ?? []).map(({ index, why }) => ({
    code: 'support-idle',
    part: part.name,
    path: ['parts', part.name, 'supports', 'by-hand', index, 'at'],
    message: `The support ${index} of ${part.name} that you placed ${idleText[why]}`,
  }));
}

const idleText = {
  'no underside': 'has no underside within 2 mm above or below it. Move it under the part, or remove it.',
  taken: 'stands where another one does, and holds nothing that that does not. Remove it.',
  'no way': 'finds no way down to the plate or the part. Move it.',
} as const;

/** Feet that reach up to the part’s own underside are one with it. */
export function raftMeetsPart({ part, facts }: PartContext): FindingDraft[] {
  const thickness = part.supports?.raft ?? 0;
  if (part.raise <= 0 || part.raise > thickness) return [];
  if (!facts.supports?.supports.some(({ stands }) => stands === 'plate')) return [];
  return [
    {
      code: 'raft-meets-part',
      part: part.name,
      path: ['parts', part.name, 'raise'],
      message: `${part.name} is raised by ${figure(part.raise, 'mm')}, and its raft is ${figure(thickness, 'mm')} thick, so its feet grow into the part. Raise it higher, or make the raft thinner (supports.raft).`,
      measured: part.raise,
      limit: thickness,
      unit: 'mm',
    },
  ];
}

/** What must be held at the plate's edge, and feet that have grown over it. */
export function raftOutside({ manifest, part, facts }: PartContext): FindingDraft[] {
  const outside = facts.supports?.outside ?? null;
  if (outside === null) return [];
  const { unheld, standing, beyondMm, at, layer, turnZ } = outside;
  const beyond = `${figure(beyondMm, 'mm')} beyond the plate less its margin (machine.margin)`;
  const what =
    unheld === 0
      ? `${plural(standing, 'foot', 'feet')} of the raft of ${part.name} ${standing === 1 ? 'reaches' : 'reach'} up to ${beyond}.`
      : `${plural(unheld, 'place')} of ${part.name} that must be held ${unheld === 1 ? 'is' : 'are'} not, because the raft of the strut would reach up to ${beyond}.`;
  const { margin } = manifest.machine;
  const [width, depth] = outside.roomMm.map((mm) => figure(mm + 2 * margin, 'mm'));
  const turned = turnZ === null ? null : withinHalfTurn(part.turn[2] + turnZ);
  return [
    {
      code: 'raft-outside',
      ...atPart(part),
      message: `${what} ${turned === null ? `No turn about z brings it in: as it stands it needs a plate of ${width} by ${depth}. Tilt it, scale it down, or cut it.` : `Turned by ${turnZ}° further about z it is on the plate.`}`,
      layer,
      at,
      measured: beyondMm,
      limit: 0,
      unit: 'mm',
      ...(turned === null
        ? {}
        : { remedies: [{ kind: 'turn' as const, turn: [part.turn[0], part.turn[1], turned] as const }] }),
    },
  ];
}

/** The same turn within half a turn to either side, degrees, rounded as the manifest writes them. */
function withinHalfTurn(degrees: number): number {
  const within = degrees - 360 * Math.round(degrees / 360);
  return Math.round(within * 1000) / 1000;
}

export function strutSlender({ part, facts }: PartContext): FindingDraft[] {
  const slender = facts.supports?.supports.filter((support) => support.slender) ?? [];
  if (slender.length === 0) return [];
  const tallest = slender.reduce((a, b) => (b.contact.at[2] > a.contact.at[2] ? b : a));
  return [
    {
      code: 'strut-slender',
      ...atPart(part),
      message: `${plural(slender.length, 'strut')} under ${part.name} may buckle on the way down as wide as they may be; the tallest is ${figure(tallest.contact.at[2], 'mm')} high. Turn the part so that it starts lower, or let more tips share the load (supports.spacing).`,
      at: tallest.contact.at,
      measured: slender.length,
      limit: 0,
      unit: '',
    },
  ];
}

export function tipOnShowSide({ part, facts }: PartContext): FindingDraft[] {
  const shown = facts.supports?.supports.filter(({ contact }: Support) => contact.onShow) ?? [];
  if (shown.length === 0) return [];
  return [
    {
      code: 'tip-on-show-side',
      ...atPart(part),
      message: `The show side of ${part.name} is marked by ${plural(shown.length, 'support')}, where nothing beside would hold it. Turn the part, or plan to sand there.`,
      layer: shown[0]!.contact.layer,
      at: shown[0]!.contact.at,
      measured: shown.length,
      limit: 0,
      unit: '',
    },
  ];
}
