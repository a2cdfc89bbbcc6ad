import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';

/** Values of the machine that are each in range but cannot hold together. */
export function impossibleMachine({ machine }: Manifest): FindingDraft[] {
  const drafts: FindingDraft[] = [];
  const shorter = Math.min(...machine.plate);
  if (2 * machine.margin >= shorter) {
    drafts.push({
      code: 'value-out-of-range',
      part: null,
      path: ['machine', 'margin'],
      message: `A margin of ${machine.margin} mm at each edge leaves nothing of a plate ${shorter} mm wide.`,
      measured: machine.margin,
      limit: shorter / 2,
      unit: 'mm',
    });
  }
  if (machine.leastResinDepth >= machine.resinDepth) {
    drafts.push({
      code: 'value-out-of-range',
      part: null,
      path: ['machine', 'least-resin-depth'],
      message: `The least safe depth of resin (${machine.leastResinDepth} mm) must be below the depth when full (${machine.resinDepth} mm).`,
      measured: machine.leastResinDepth,
      limit: machine.resinDepth,
      unit: 'mm',
    });
  }
  return drafts;
}
