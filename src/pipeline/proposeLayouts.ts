import { portion } from '../core/interrupter.ts';
import { layOutPlate, type PlateLayout } from '../core/plates/layOutPlate.ts';
import { type PlatesTask, type ProposedPlates, proposePlates } from '../core/plates/proposePlates.ts';
import type { StageContext } from './stageContext.ts';

export interface ProposeLayoutsRequest {
  /** Absolute path of the manifest. */
  readonly path: string;
  readonly task: PlatesTask;
}

export interface ProposedLayouts {
  readonly plates: readonly { readonly parts: readonly string[]; readonly layout: PlateLayout }[];
  readonly left: ProposedPlates['left'];
}

/** Parts on few plates, and each plate as the check will arrange it. */
export async function proposeLayouts(
  { task }: ProposeLayoutsRequest,
  context: StageContext,
): Promise<ProposedLayouts> {
  const interrupter = context.stage('filling plates');
  const { plates, left } = proposePlates(task, portion(interrupter, 0, 0.9));
  const laidOut = plates.map((parts, n) => {
    const footprints = parts.map((name) => task.parts.find((part) => part.name === name)!.footprint);
    const own = { ...task, parts: footprints.map((footprint) => ({ footprint, at: null, spin: null })) };
    const step = portion(interrupter, 0.9 + (0.1 * n) / plates.length, 0.9 + (0.1 * (n + 1)) / plates.length);
    return { parts, layout: layOutPlate(own, step) };
  });
  return { plates: laidOut, left };
}
