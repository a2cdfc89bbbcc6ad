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

/** Discs may overlap by this, px: one raised by exactly a disc would else overlap by what its height was rounded. */
const ROUNDING = 1e-7;

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
        (pole) =>
          Math.abs(pole.x - x) < size && Math.abs(pole.y - pole.height - (y - height)) < size - ROUNDING,
      );
    // Just above each disc in the way. None is passed twice: where a point is so far out of the picture that
    // numbers no longer tell discs apart, that many steps are enough as well.
    for (let passed = 0; passed < placed.length; passed++) {
      const other = hit();
      if (other === undefined) break;
      height = y - (other.y - other.height - size);
    }
    placed.push({ x, y, height });
  }
  return placed;
}
