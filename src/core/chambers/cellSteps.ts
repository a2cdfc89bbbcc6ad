import type { Vec3 } from '../vector.ts';

/** From a cell's index to those beyond its faces: −x, +x, −y, +y, −z, +z. The box has a cell to spare on every side, so none wraps round. */
export const faceSteps = ([nx, ny]: Vec3): number[] => [-1, 1, -nx, nx, -nx * ny, nx * ny];

/** To all 26 cells around one, its own left out. */
export function aroundSteps([nx, ny]: Vec3): number[] {
  const steps: number[] = [];
  for (let z = -1; z <= 1; z++) {
    for (let y = -1; y <= 1; y++) {
      for (let x = -1; x <= 1; x++) if (x !== 0 || y !== 0 || z !== 0) steps.push(x + nx * (y + ny * z));
    }
  }
  return steps;
}
