import type { Vec3 } from '../vector.ts';

/** Mass of the shell, of what was put into it, and of both, with the place of each. g, mm, print frame. */
export interface Balance {
  readonly shell: Weight;
  /** By chamber; null where nothing is put in. */
  readonly fills: readonly Portion[] | null;
  readonly coats: readonly Portion[] | null;
  readonly total: Weight;
}

export interface Weight {
  readonly massG: number;
  readonly at: Vec3;
}

export interface Portion extends Weight {
  readonly volumeMm3: number;
}

/**
 * Weighs a part. The shell's centre is that of the outer body less its chambers, openings uncut (what they
 * take away is a thousandth); its mass is given. mm³ and mm in, g out.
 */
export function balanceOf(
  shellG: number,
  body: { readonly volumeMm3: number; readonly centroid: Vec3 },
  chambers: readonly { readonly volumeMm3: number; readonly centroid: Vec3 }[],
  fills: readonly Portion[] | null,
  coats: readonly Portion[] | null,
): Balance {
  const hollowed = chambers.map(({ volumeMm3, centroid }) => ({ massG: -volumeMm3, at: centroid }));
  const { at } = weighed([{ massG: body.volumeMm3, at: body.centroid }, ...hollowed]);
  const shell = { massG: shellG, at };
  return { shell, fills, coats, total: weighed([shell, ...(fills ?? []), ...(coats ?? [])]) };
}

/** Sum of masses, and the mean of their places by mass; the first place where there is no mass at all. */
function weighed(weights: readonly Weight[]): Weight {
  const massG = weights.reduce((sum, weight) => sum + weight.massG, 0);
  if (massG === 0) return { massG, at: weights[0]?.at ?? [0, 0, 0] };
  const at = [0, 1, 2].map(
    (axis) => weights.reduce((sum, weight) => sum + weight.massG * weight.at[axis]!, 0) / massG,
  );
  return { massG, at: at as unknown as Vec3 };
}
