/**
 * The exponent p of cost ~ size^p that fits best: the slope of a line through the logarithms by least
 * squares. 1 is linear. NaN for fewer than two sizes.
 */
export function growthExponent(sizes: readonly number[], costs: readonly number[]): number {
  const x = sizes.map(Math.log);
  const y = costs.map(Math.log);
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const meanX = mean(x);
  const meanY = mean(y);
  let across = 0;
  let along = 0;
  for (let i = 0; i < x.length; i++) {
    across += (x[i]! - meanX) * (y[i]! - meanY);
    along += (x[i]! - meanX) ** 2;
  }
  return across / along;
}
