/** Length by width: greatest stress β·p·b²/t² (middle of the long side), deflection α·p·b⁴/(E·t³) of the middle, ν = 0.3. */
const table = [
  [1, 0.3078, 0.0138],
  [1.2, 0.3834, 0.0188],
  [1.4, 0.4356, 0.0226],
  [1.6, 0.468, 0.0251],
  [1.8, 0.4872, 0.0267],
  [2, 0.4974, 0.0277],
  [4, 0.5, 0.0284],
] as const;

/** A circle of that width: 0.75·R²/t² and 0.171·R⁴/(E·t³); its area is π/4 of the square's. */
const circle = [Math.PI / 4, 0.75 / 4, 0.171 / 16] as const;

/**
 * Coefficients of a panel of width b held at its rim under an even pressure, by its length over its
 * width: stress = `stress`·p·b²/t², deflection = `deflection`·p·b⁴/(E·t³). Under 1 the panel fills less
 * than a square; at π/4 it is a circle.
 *
 * Source: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, all edges built in (the strip of
 * 0.5 and 0.0284 is exact: 1/2 and (1 − ν²)/32); figures from memory. Small deflections, ν = 0.3.
 */
export function clampedRectangle(aspect: number): { readonly stress: number; readonly deflection: number } {
  const points = [circle, ...table];
  const above = points.findIndex(([at]) => at >= aspect);
  if (above === 0) return { stress: circle[1], deflection: circle[2] };
  if (above < 0) return { stress: table.at(-1)![1], deflection: table.at(-1)![2] };
  const [x0, stress0, deflection0] = points[above - 1]!;
  const [x1, stress1, deflection1] = points[above]!;
  const part = (aspect - x0) / (x1 - x0);
  return {
    stress: stress0 + part * (stress1 - stress0),
    deflection: deflection0 + part * (deflection1 - deflection0),
  };
}
