import type { Manifest, Part } from '../kit/manifest.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import { partResin } from '../kit/partResin.ts';
import { platedParts } from '../kit/rules/plateParts.ts';
import { liquidVolume } from '../physics/resinAmounts.ts';
import type { PlateFacts } from '../plates/plateFacts.ts';

/** One print: a plate, or a part that is on none. mm³. */
export interface PrintJob {
  readonly kind: 'plate' | 'part';
  /** Of the plate or of the part. */
  readonly name: string;
  readonly parts: readonly string[];
  /** Which of several prints of the same part, from 1; null of a single one. */
  readonly copy: { readonly number: number; readonly of: number; readonly mirrored: boolean } | null;
  /** Name of the resin; that of the first part of a plate. */
  readonly resin: string;
  /** What other parts of the plate ask for. */
  readonly otherResins: readonly string[];
  readonly layers: number;
  readonly liquidMm3: number;
  /** Of the liquid, what goes into planned supports and raft. */
  readonly supportsMm3: number;
  readonly heldMm3: number;
  /** Out of the vat when each layer is done. */
  readonly takenMm3: Float64Array;
}

export interface PrintJobs {
  readonly jobs: readonly PrintJob[];
  /** What is not printed, and why. */
  readonly left: readonly { readonly name: string; readonly why: string }[];
}

/** A list of more prints is no plan of anyone's. */
export const mostPrints = 1000;

/** Plates first, then what is on no plate, each in the order of the manifest; copies one after the other. */
export function printJobs(
  manifest: Manifest,
  facts: ReadonlyMap<string, PartFacts>,
  plates: ReadonlyMap<string, PlateFacts>,
): PrintJobs {
  const jobs: PrintJob[] = [];
  const left: { name: string; why: string }[] = [];
  const onPlates = new Map<string, number>();
  for (const plate of manifest.plates) {
    const parts = platedParts(manifest, plate).map(({ part }) => part);
    for (const part of parts) onPlates.set(part, (onPlates.get(part) ?? 0) + 1);
    const loads = plates.get(plate.name)?.loads;
    if (loads === undefined) left.push({ name: plate.name, why: 'not all of its parts were measured' });
    else if (parts.length === 0) left.push({ name: plate.name, why: 'it has no parts' });
    else {
      const resins = [...new Set(parts.map((part) => resinOf(manifest, partNamed(manifest, part))))];
      jobs.push({
        kind: 'plate',
        name: plate.name,
        parts,
        copy: null,
        resin: resins[0]!,
        otherResins: resins.slice(1),
        layers: loads.layers,
        liquidMm3: loads.liquidMm3,
        supportsMm3: parts.reduce((sum, part) => sum + supportsOf(manifest, part, facts), 0),
        heldMm3: loads.heldMm3,
        takenMm3: loads.takenMm3,
      });
    }
  }
  for (const part of manifest.parts) {
    const sculpted = Math.max(0, part.count - (onPlates.get(part.name) ?? 0));
    const of = sculpted + part.mirrored;
    const measured = facts.get(part.name);
    if (of === 0) continue;
    if (measured === undefined) {
      left.push({ name: part.name, why: 'it was not measured' });
      continue;
    }
    const room = Math.max(0, mostPrints - jobs.length);
    if (of > room)
      left.push({ name: part.name, why: `${of - room} of its copies lie beyond ${mostPrints} prints` });
    const { loads } = measured;
    for (let number = 1; number <= Math.min(of, room); number++)
      jobs.push({
        kind: 'part',
        name: part.name,
        parts: [part.name],
        copy: of === 1 && part.mirrored === 0 ? null : { number, of, mirrored: number > sculpted },
        resin: resinOf(manifest, part),
        otherResins: [],
        layers: measured.layers.layers,
        liquidMm3: loads.liquidMm3,
        supportsMm3: supportsOf(manifest, part.name, facts),
        heldMm3: loads.heldMm3,
        takenMm3: loads.takenMm3,
      });
  }
  return { jobs, left };
}

const partNamed = ({ parts }: Manifest, name: string): Part => parts.find((part) => part.name === name)!;

const resinOf = (manifest: Manifest, part: Part): string => partResin(manifest, part).name;

function supportsOf(manifest: Manifest, name: string, facts: ReadonlyMap<string, PartFacts>): number {
  const curedMm3 = facts.get(name)?.supports?.volumeMm3 ?? 0;
  return liquidVolume(curedMm3, partResin(manifest, partNamed(manifest, name)));
}
