import { drawResin, leastVatMl, type Stock, stockOf } from '../../schedule/drawResin.ts';
import { type PrintJob, printJobs } from '../../schedule/printJobs.ts';
import type { FindingDraft } from '../finding.ts';
import { shorten } from '../manifestPath.ts';
import { figure, layerPlace } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/** Prints in the order of the schedule, each from what those before it have left in the bottles. */
export function resinChanges({ manifest, facts, plates }: KitContext): FindingDraft[] {
  let stock: Stock = stockOf(manifest);
  const told = new Set<string>();
  return printJobs(manifest, facts, plates).jobs.flatMap((job): FindingDraft[] => {
    const { change, atStartMl, usedMl, left } = drawResin(job, stock, manifest);
    stock = left;
    // Copies of a part are one entry of the manifest.
    if (change === null || told.has(`${job.kind} ${job.name}`)) return [];
    told.add(`${job.kind} ${job.name}`);
    const next = change.to === null ? 'another resin (the manifest has none on hand)' : shorten(change.to);
    return [
      {
        code: 'resin-changes',
        part: job.kind === 'part' ? job.name : null,
        path: [job.kind === 'part' ? 'parts' : 'plates', job.name],
        atKey: true,
        message: `${shorten(job.resin)} ends in ${printName(job)}: ${figure(atStartMl!, 'ml')} are left as it starts, it takes ${figure(usedMl, 'ml')}, and ${figure(leastVatMl(manifest), 'ml')} must stay in the vat. From ${layerPlace(change.layer, manifest.machine.layer)} on it is printed with ${next} in it. Get more before it starts, or let it change where nobody looks.`,
        layer: change.layer,
        measured: usedMl,
        limit: atStartMl!,
        unit: 'ml',
      },
    ];
  });
}

function printName({ kind, name }: PrintJob): string {
  return kind === 'plate' ? `the plate ${name}` : name;
}
