import { plateToleranceMm } from '../../pose/boxFit.ts';
import { exportScale } from '../../trueSize/exportScale.ts';
import type { FindingDraft } from '../finding.ts';
import { partResin } from '../partResin.ts';
import { figure } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** The part is centred on the plate, so its size alone decides; one finding per axis. */
export function outsidePlate({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { plate, margin } = manifest.machine;
  const by = exportScale(partResin(manifest, part).trueSize);
  const [x, y] = facts.mesh.sizeMm;
  const size = [x * by[0], y * by[1]] as const;
  const drawn = by[0] > 1 || by[1] > 1 ? ', as drawn for its shrinkage,' : '';
  const room = [plate[0] - 2 * margin, plate[1] - 2 * margin] as const;
  const advice =
    size[0] <= room[1] && size[1] <= room[0]
      ? ' Turned by 90° about z it fits.'
      : ' Turn it, reduce the scale, or cut the part.';
  return ([0, 1] as const)
    .filter((axis) => size[axis] > room[axis] + plateToleranceMm)
    .map((axis) => ({
      code: 'outside-plate',
      ...atPart(part),
      message: `${part.name} is ${figure(size[axis] - room[axis], 'mm')} too long in ${'xy'[axis]}: ${figure(size[axis], 'mm')}${drawn} on a plate of ${figure(plate[axis], 'mm')} with ${figure(margin, 'mm')} kept free at each edge.${advice}`,
      measured: size[axis],
      limit: room[axis],
      unit: 'mm',
    }));
}

export function tooTall({ manifest, part, facts }: PartContext): FindingDraft[] {
  const by = exportScale(partResin(manifest, part).trueSize)[2];
  const top = facts.mesh.bounds.max[2] * by;
  const { height } = manifest.machine;
  if (top <= height + plateToleranceMm) return [];
  const raised = part.raise > 0 ? `, raised by ${figure(part.raise, 'mm')}` : '';
  return [
    {
      code: 'too-tall',
      ...atPart(part),
      message: `${part.name} is ${figure(top - height, 'mm')} too tall in z: it ends at ${figure(top, 'mm')}${by > 1 ? ', as drawn for its shrinkage' : ''}${raised}, the machine at ${figure(height, 'mm')}. Turn it, lower it, or cut the part.`,
      measured: top,
      limit: height,
      unit: 'mm',
    },
  ];
}
