import type { Vec3 } from './vector.ts';

/** Unit vectors spread evenly over the sphere: a spiral by the golden angle (Fibonacci lattice). */
export function sphereDirections(count: number): Vec3[] {
  const golden = Math.PI * (3 - Math.sqrt(5));
  return Array.from({ length: count }, (_, n): Vec3 => {
    const z = 1 - (2 * n + 1) / count;
    const across = Math.sqrt(1 - z * z);
    return [across * Math.cos(golden * n), across * Math.sin(golden * n), z];
  });
}
