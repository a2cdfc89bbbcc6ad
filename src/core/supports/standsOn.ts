import { bodyFinder } from './bodyFinder.ts';
import type { Contact } from './loadLog.ts';
import type { PartGrowth } from './partGrowth.ts';
import type { SupportedSolid } from './supportedSolid.ts';

/** By contact: the body that its strut stands on, −1 where that is the plate. */
export function standsOn(
  part: SupportedSolid,
  growth: PartGrowth,
  contacts: readonly Pick<Contact, 'route'>[],
): Int32Array {
  const { z0, dz } = part.solid.lattice;
  const on = new Int32Array(contacts.length).fill(-1);
  const bodyAt = bodyFinder(part, growth);
  const inside = contacts.flatMap(({ route: { line, stands } }, contact) => {
    if (stands === 'plate') return [];
    const foot = line.at(-1)!;
    return [{ contact, foot, layer: Math.round((foot[2] - z0) / dz) - 1 }];
  });
  for (const { contact, foot, layer } of inside.sort((a, b) => a.layer - b.layer)) {
    on[contact] = bodyAt(layer, foot);
  }
  return on;
}
