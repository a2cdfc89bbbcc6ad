import type { Manifest } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import type { PartContext } from '../../../src/core/kit/rules/ruleContext.ts';
import { soundFacts } from './soundFacts.ts';

/** What a rule reads of a part that nothing is wrong with, but for the facts given. */
export function contextOf(facts: Partial<PartFacts>): PartContext {
  const text = 'kit: The Lamplighter\nscale: { factor: 1 }\nparts: { torso: { file: torso.stl } }\n';
  const manifest = parseManifest(text).manifest as Manifest;
  return { manifest, part: manifest.parts[0]!, facts: { ...soundFacts(), ...facts } };
}
