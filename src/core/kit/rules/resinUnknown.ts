import type { FindingDraft } from '../finding.ts';
import type { Manifest, ManifestPath } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';

/** Told once per name: at the part that asks, which falls back on `defaults.resin` when it names none. */
export function resinUnknown(manifest: Manifest): FindingDraft[] {
  const told = new Set<string>();
  const drafts: FindingDraft[] = [];
  for (const { name, resin } of manifest.parts) {
    if (resin === null || manifest.resins.has(resin) || told.has(resin)) continue;
    told.add(resin);
    const path: ManifestPath = ['parts', name, 'resin'];
    const known = [...manifest.resins.keys()].map(shorten);
    const advice = known.length > 0 ? `known are ${known.slice(0, 8).join(', ')}` : 'resins is empty';
    drafts.push({
      code: 'resin-unknown',
      part: name,
      path,
      message: `${name} is printed in ${shorten(resin)}, which resins does not describe; ${advice}.`,
    });
  }
  return drafts;
}
