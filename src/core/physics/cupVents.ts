import type { CupState } from '../layers/cupTrack.ts';
import type { OpeningId } from '../openings/opening.ts';
import { roundSection, type Section } from './circularSegment.ts';
import { filmHeight, isInAir, type LoadSetting } from './loadSetting.ts';
import { boreLength, plateSideEdge, printedSection } from './printedOpening.ts';
import { type VentResistance, ventResistance } from './ventResistance.ts';

/** One way in which a cup breathes at a layer. */
export interface CupVent {
  readonly id: OpeningId | 'mesh';
  /** Index of the opening; null of the sculpt's own hole. */
  readonly opening: number | null;
  readonly inAir: boolean;
  readonly resistance: VentResistance;
}

/**
 * The ways into a cup at its layer, openings as printed so far and the sculpt's own holes taken as one
 * round hole; empty when it is sealed. `sculptedEdge`: height in mm at which the sculpt first joins it
 * to the outside.
 */
export function cupVents(state: CupState, sculptedEdge: number, setting: LoadSetting): CupVent[] {
  const vents: CupVent[] = [];
  if (!state.joined) return vents;
  const add = (id: string, opening: number | null, section: Section, length: number, edge: number): void => {
    if (section.area <= 0) return;
    const inAir = isInAir(setting, edge, state.layer);
    vents.push({
      id,
      opening,
      inAir,
      resistance: ventResistance(section, length, inAir ? setting.air : setting.resin),
    });
  };
  for (const index of state.openings) {
    const opening = setting.openings[index]!;
    const section = printedSection(opening, filmHeight(setting, state.layer));
    add(opening.placed.id, index, section, boreLength(opening), plateSideEdge(opening.placed));
  }
  const sculpted = roundSection(Math.sqrt((4 * state.sculptedMm2 * 1e-6) / Math.PI));
  add('mesh', null, sculpted, setting.wallBore, sculptedEdge);
  return vents;
}
