import type { Manifest, Part } from '../core/kit/manifest.ts';
import { parseManifest } from '../core/kit/parseManifest.ts';

/** The part that a job of the engine is about, by the manifest's text that the job was made from. */
export function decidedPart(
  manifestText: string,
  name: string,
): { readonly manifest: Manifest; readonly part: Part } {
  const { manifest } = parseManifest(manifestText);
  const part = manifest?.parts.find((one) => one.name === name);
  if (!manifest || !part) throw new Error(`the manifest has no part ${name}`);
  return { manifest, part };
}
