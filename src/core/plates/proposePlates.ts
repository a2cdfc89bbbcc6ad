import type { Interrupter } from '../interrupter.ts';
import { arrangeParts } from './arrangeParts.ts';
import { type Footprint, footprintArea } from './footprint.ts';
import type { PlatedFootprint } from './layOutPlate.ts';

/** A part that is looking for a plate. */
export interface PlateCandidate {
  readonly name: string;
  readonly footprint: Footprint;
  /** Layers from the plate to its top. */
  readonly layers: number;
  /** N by layer. */
  readonly pullN: Float64Array;
}

export interface PlatesTask {
  /** x and y of the plate, its margin taken off, mm. */
  readonly room: readonly [number, number];
  readonly gapMm: number;
  /** No layer of a plate may pull more, N. */
  readonly pullLimitN: number;
  /** In the order of the manifest. */
  readonly parts: readonly PlateCandidate[];
}

export interface ProposedPlates {
  /** Names of the parts of each, in the order of the manifest; the tallest plate first. */
  readonly plates: readonly (readonly string[])[];
  /** Those that find room on no plate, or pull more than the limit alone. */
  readonly left: readonly { readonly part: string; readonly why: 'room' | 'pull' }[];
}

/**
 * Parts on few plates, each filled from the tallest that is left downward, so that those of a plate are about as
 * tall as each other and its hours are wanted by all of them: first fit by falling height. A part joins when the
 * plate can be arranged with it and no layer then pulls more than the limit.
 */
export function proposePlates(task: PlatesTask, interrupter: Interrupter): ProposedPlates {
  const byHeight = task.parts
    .map((part, index) => ({ part, index }))
    .sort((a, b) => b.part.layers - a.part.layers || a.index - b.index)
    .map(({ index }) => index);
  const left: ProposedPlates['left'][number][] = [];
  const waiting = byHeight.filter((index) => {
    const why = whyLeft(task, task.parts[index]!, interrupter);
    if (why !== null) left.push({ part: task.parts[index]!.name, why });
    return why === null;
  });
  const plates: string[][] = [];
  for (let remaining = waiting; remaining.length > 0; ) {
    const members = fillPlate(task, remaining, (done) => {
      interrupter((waiting.length - remaining.length + done) / waiting.length);
    });
    plates.push(members.map((index) => task.parts[index]!.name));
    remaining = remaining.filter((index) => !members.includes(index));
  }
  return { plates, left };
}

function whyLeft(task: PlatesTask, part: PlateCandidate, interrupter: Interrupter): 'room' | 'pull' | null {
  const { room, gapMm } = task;
  const [place] = arrangeParts({ room, gapMm, parts: [free(part)] }, 'any', interrupter);
  if (place == null) return 'room';
  return part.pullN.some((pull) => pull > task.pullLimitN) ? 'pull' : null;
}

/** Parts of one plate by their index, lowest first; `remaining` from the tallest. */
function fillPlate(task: PlatesTask, remaining: readonly number[], interrupter: Interrupter): number[] {
  let members = remaining.slice(0, 1);
  for (const index of remaining.slice(1)) {
    const more = [...members, index].sort((a, b) => a - b);
    if (
      canStand(
        task,
        more.map((member) => task.parts[member]!),
        interrupter,
      )
    )
      members = more;
  }
  return members;
}

function canStand(
  { room, gapMm, pullLimitN }: PlatesTask,
  parts: readonly PlateCandidate[],
  interrupter: Interrupter,
): boolean {
  const layers = Math.max(...parts.map((part) => part.layers));
  for (let layer = 0; layer < layers; layer++) {
    const pull = parts.reduce((sum, { pullN }) => sum + (pullN[layer] ?? 0), 0);
    if (pull > pullLimitN) return false;
  }
  const area = parts.reduce((sum, { footprint }) => sum + footprintArea(footprint), 0);
  if (area > room[0] * room[1]) return false;
  const places = arrangeParts({ room, gapMm, parts: parts.map(free) }, 'quarters', () => interrupter(0));
  return places.every((place) => place !== null);
}

const free = ({ footprint }: PlateCandidate): PlatedFootprint => ({ footprint, at: null, spin: null });
