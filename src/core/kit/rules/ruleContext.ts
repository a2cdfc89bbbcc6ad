import type { FigureFacts } from '../../joints/figureFacts.ts';
import type { JointFacts, SwallowedPair } from '../../joints/jointFacts.ts';
import type { PlateFacts } from '../../plates/plateFacts.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest, ManifestPath, Part } from '../manifest.ts';
import type { PartFacts } from '../partFacts.ts';

/** What a rule about one measured part reads. */
export interface PartContext {
  readonly manifest: Manifest;
  readonly part: Part;
  readonly facts: PartFacts;
  /** The parts that are checked together, this one among them; absent: all of the manifest. */
  readonly checked?: readonly Part[];
}

/** What a rule about the whole kit reads: the parts that could be measured, by name. */
export interface KitContext {
  readonly manifest: Manifest;
  readonly facts: ReadonlyMap<string, PartFacts>;
  /** The plates whose parts could all be measured, by name. */
  readonly plates: ReadonlyMap<string, PlateFacts>;
  /** Where measured parts meet, in the order of the manifest. */
  readonly joints: readonly JointFacts[];
  /** Parts that lie in each other, as far as that was looked for. */
  readonly swallowed: readonly SwallowedPair[];
  /** The figure put together; null where not all of its parts were asked for, or the files do not stand together. */
  readonly assembled: FigureFacts | null;
}

export type PartRule = (context: PartContext) => FindingDraft[];

/** The place of a finding about a part as a whole: its key. */
export function atPart(part: Part): {
  readonly part: string;
  readonly path: ManifestPath;
  readonly atKey: true;
} {
  return { part: part.name, path: ['parts', part.name], atKey: true };
}
