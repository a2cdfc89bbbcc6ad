import type { Cavity } from '../core/field/cavity.ts';
import { type HollowOptions, hollowSteps } from '../core/field/hollow.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { Result } from '../core/result.ts';
import type { Hands, Later } from './hands.ts';

/** As `hollow`, its slices made by whatever hands are free; the result does not depend on them. `later`: nobody waits for it yet. */
export async function hollowPart(
  mesh: Mesh,
  options: HollowOptions,
  hands: Hands,
  interrupter: Interrupter,
  later?: Later,
): Promise<Result<Cavity>> {
  const steps = hollowSteps(mesh, options, portion(interrupter, 0.9, 1));
  let step = steps.next();
  while (!step.done) {
    step = steps.next(await hands.share('hollowSlice', step.value, portion(interrupter, 0, 0.9), later));
  }
  return step.value;
}
