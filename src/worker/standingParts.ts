import { type Affine, afterScaling, applyAffine, invertSimilarity } from '../core/affine.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import type { Measured } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

/** A part in its place in the figure: source axes at finished size, mm. */
export interface StandingPart {
  readonly request: PartRequest;
  readonly facts: PartFacts;
  /** To its print frame, and back. */
  readonly toPrint: Affine;
  readonly fromPrint: Affine;
  /** Of a part turned by odd angles larger than it is. */
  readonly box: Box;
}

/**
 * The measured parts that stand in the figure, in the order of the manifest. A part whose surface is not closed has no
 * inside to measure from, and one printed as a mirror image only stands elsewhere: both are left out.
 */
export function standingParts(
  manifest: Manifest,
  measured: ReadonlyMap<string, Measured>,
  kitDir: string,
): readonly StandingPart[] {
  if (manifest.assembled === null) return [];
  return manifest.parts.flatMap(
    (part) => standingPart(manifest, part, measured.get(part.name), kitDir) ?? [],
  );
}

function standingPart(
  manifest: Manifest,
  part: Part,
  known: Measured | undefined,
  kitDir: string,
): StandingPart | null {
  // What was just measured may be read from the cache, whatever the check was told.
  const request = partRequestOf(manifest, part, kitDir, false);
  if (known === undefined || request === null || !known.facts.mesh.sound || part.count === 0) return null;
  const { facts, frame } = known;
  const toPrint = afterScaling(frame, 1 / request.factor);
  const fromPrint = invertSimilarity(toPrint);
  return { request, facts, toPrint, fromPrint, box: movedBox(facts.mesh.bounds, fromPrint) };
}

function movedBox({ min, max }: Box, map: Affine): Box {
  const corners = Array.from({ length: 8 }, (_, n) =>
    applyAffine(map, [n & 1 ? max[0] : min[0], n & 2 ? max[1] : min[1], n & 4 ? max[2] : min[2]]),
  );
  const most = (pick: (...values: number[]) => number): Vec3 => [
    pick(...corners.map(([x]) => x)),
    pick(...corners.map(([, y]) => y)),
    pick(...corners.map(([, , z]) => z)),
  ];
  return { min: most(Math.min), max: most(Math.max) };
}
