import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import type { Tree } from '../readTree.ts';
import { copiesNone } from './copiesNone.ts';
import { copyNameTaken } from './copyNameTaken.ts';
import { cutUnknown } from './cutUnknown.ts';
import { fileNotNamed } from './fileMissing.ts';
import { impossibleMachine } from './impossibleMachine.ts';
import { lightTexts } from './lights.ts';
import { plateParts } from './plateParts.ts';
import { resinUnknown } from './resinUnknown.ts';
import { scaleDisagrees } from './scaleDisagrees.ts';
import { scaleMissing } from './scaleMissing.ts';

/** Rules that need nothing but the manifest's text; they run as the builder types. */
export function textRules(manifest: Manifest, root: Extract<Tree, { kind: 'map' }>): FindingDraft[] {
  return [
    ...scaleMissing(manifest, root),
    ...scaleDisagrees(manifest),
    ...impossibleMachine(manifest),
    ...resinUnknown(manifest),
    ...cutUnknown(manifest),
    ...fileNotNamed(manifest, root),
    ...copiesNone(manifest),
    ...copyNameTaken(manifest),
    ...plateParts(manifest),
    ...lightTexts(manifest),
  ];
}
