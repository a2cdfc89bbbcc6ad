/**
 * A stiff pin in a socket that gives elastically: pressure falls off linearly along the depth and turns round, so that
 * force and moment at the mouth are balanced. Greatest at the mouth: (4·F/L + 6·M/L²)/d. Derived from the two balances;
 * with F = 0 it is the usual 6·M/(d·L²). Lengths m, N, N·m, Pa; over the pin's width, as bearing is told.
 */
export function bearingPressure(forceN: number, momentNm: number, diameter: number, depth: number): number {
  return ((4 * forceN) / depth + (6 * momentNm) / depth ** 2) / diameter;
}

/** Least depth at which the pressure stays at `pressure`. */
export function bearingDepth(forceN: number, momentNm: number, diameter: number, pressure: number): number {
  const perLength = pressure * diameter;
  return (4 * forceN + Math.sqrt(16 * forceN * forceN + 24 * perLength * momentNm)) / (2 * perLength);
}
