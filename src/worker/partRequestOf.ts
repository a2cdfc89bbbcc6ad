import { join } from 'node:path';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import { partCuts } from '../core/kit/partCuts.ts';
import { partResin } from '../core/kit/partResin.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';

/** A part's decisions as a request; null when the manifest does not yet say what to measure. */
export function partRequestOf(
  manifest: Manifest,
  part: Part,
  kitDir: string,
  noCache: boolean,
): PartRequest | null {
  const { factor } = manifest.scale;
  if (factor === null || part.file === null) return null;
  return {
    name: part.name,
    path: join(kitDir, part.file),
    kitDir,
    readCache: !noCache,
    factor,
    // A cut's name changes nothing.
    cuts: partCuts(part).map(({ cut, side }) => ({ cut, side })),
    turn: part.turn,
    raise: part.raise,
    wall: part.wall,
    supports: part.supports,
    keepSolid: part.keepSolid,
    lights: part.lights,
    openings: part.openings,
    show: part.show,
    machine: manifest.machine,
    film: manifest.film,
    wash: part.wash,
    fill: part.fill,
    coat: part.coat,
    resin: partResin(manifest, part),
    limits: manifest.limits,
  };
}
