/**
 * Pull in N that one support tip of `diameter` m holds: green strength (Pa) × its area.
 *
 * Source: definition of tensile strength. Validity: pure tension; a notch or a bent tip breaks earlier.
 */
export function tipStrength(diameter: number, greenStrength: number): number {
  return (Math.PI / 4) * diameter * diameter * greenStrength;
}

/** Tips that hold `pull` N with safety factor `safety`, sharing it equally; edge tips take more, since peel starts there. */
export function tipCount(pull: number, safety: number, oneTip: number): number {
  return Math.ceil((pull * safety) / oneTip - 1e-9);
}
