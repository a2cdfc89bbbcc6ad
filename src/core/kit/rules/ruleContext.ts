import type { OpeningId } from '../../openings/opening.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest, ManifestPath, Part } from '../manifest.ts';
import type { PartFacts } from '../partFacts.ts';

/** What a rule about one measured part reads. */
export interface PartContext {
  readonly manifest: Manifest;
  readonly part: Part;
  readonly facts: PartFacts;
}

/** What a rule about the whole kit reads: the parts that could be measured, by name. */
export interface KitContext {
  readonly manifest: Manifest;
  readonly facts: ReadonlyMap<string, PartFacts>;
}

export type PartRule = (context: PartContext) => FindingDraft[];

/** `vents/0` of a part, or one of its keys. */
export function openingPath(part: Part, id: OpeningId, key?: string): ManifestPath {
  const [list, index] = id.split('/') as [string, string];
  return ['parts', part.name, list, Number(index), ...(key === undefined ? [] : [key])];
}

/** The place of a finding about a part as a whole: its key. */
export function atPart(part: Part): {
  readonly part: string;
  readonly path: ManifestPath;
  readonly atKey: true;
} {
  return { part: part.name, path: ['parts', part.name], atKey: true };
}
