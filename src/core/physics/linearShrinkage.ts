/**
 * Share by which lengths shrink when the volume shrinks by `volumetric` (0.06 for 6 %):
 * 1 − ∛(1 − s). Source: geometry. Validity: shrinkage equal in all directions.
 */
export function linearShrinkage(volumetric: number): number {
  return 1 - Math.cbrt(1 - volumetric);
}

/** Share by which the volume shrinks between two densities. */
export function volumetricShrinkage(liquidDensity: number, curedDensity: number): number {
  return 1 - liquidDensity / curedDensity;
}
