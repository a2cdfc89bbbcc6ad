import type { Flag } from '../../src/protocol/partView.ts';

/** Flags as they are listed: by number, which is the order of the findings in Problems. */
export function flagOrder(flags: readonly Flag[]): Flag[] {
  return [...flags].sort((a, b) => a.number - b.number);
}

const severityWords = { error: 'Error', warning: 'Warning', info: 'Note' } as const;

/** A flag read aloud. */
export function flagText(flag: Flag): string {
  const layer = flag.layer === null ? '' : ` Layer ${flag.layer}.`;
  return `${severityWords[flag.severity]} ${flag.number}: ${flag.message}${layer}`;
}

/** A flag's disc on the screen: where its point is and how high its pole must be, pixels. */
export interface Pole {
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

const shortest = 22;

/**
 * Gives each point a pole so high that no two discs of the given size overlap. Earlier points get
 * the shorter pole, so a flag's place does not depend on those that follow.
 */
export function raisePoles(
  points: readonly { readonly x: number; readonly y: number }[],
  size: number,
): Pole[] {
  const placed: Pole[] = [];
  for (const { x, y } of points) {
    let height = shortest;
    const hit = (): Pole | undefined =>
      placed.find(
        (pole) => Math.abs(pole.x - x) < size && Math.abs(pole.y - pole.height - (y - height)) < size,
      );
    for (let other = hit(); other !== undefined; other = hit()) {
      // Just above the disc in the way; the distance left is exactly one size, so each step frees one.
      height = y - (other.y - other.height - size);
      if (!Number.isFinite(height)) break;
    }
    placed.push({ x, y, height });
  }
  return placed;
}
