import type { Manifest, Resin } from '../kit/manifest.ts';
import { assumedResin } from '../kit/partResin.ts';
import type { PrintJob } from './printJobs.ts';

/** ml that are left of each resin of which it is told how much is on hand. */
export type Stock = ReadonlyMap<string, number>;

export interface ResinDraw {
  readonly wasteMl: number;
  /** Liquid, held resin and waste. */
  readonly usedMl: number;
  /** From which bottles: its own first. */
  readonly draws: readonly { readonly resin: string; readonly ml: number }[];
  /** Its own resin ends in it: before which layer another must be in the vat, and which; null = none is left. */
  readonly change: { readonly layer: number; readonly to: string | null } | null;
  /** Of its own resin as it starts; null where nobody told how much there is. */
  readonly atStartMl: number | null;
  readonly left: Stock;
}

export function stockOf(manifest: Manifest): Stock {
  return new Map(
    [...manifest.resins].flatMap(([name, { onHand }]) => (onHand === null ? [] : [[name, onHand]])),
  );
}

/** ml that must stay in the vat to the end, so that the film is covered deep enough. */
export function leastVatMl({ machine }: Pick<Manifest, 'machine'>): number {
  return Math.min(machine.vat, (machine.vat * machine.leastResinDepth) / machine.resinDepth);
}

/**
 * What a print takes of the bottles. Its own resin lasts until what is left of it, bottle and vat together, is just
 * the least that the vat must hold; then comes the other resin of which most is left.
 */
export function drawResin(job: PrintJob, stock: Stock, manifest: Manifest): ResinDraw {
  const { waste } = resinNamed(manifest, job.resin);
  const wasteMl = (job.liquidMm3 / 1000) * (waste / 100);
  const usedMl = (job.liquidMm3 + job.heldMm3) / 1000 + wasteMl;
  const atStartMl = stock.get(job.resin) ?? null;
  const left = new Map(stock);
  if (atStartMl === null)
    return { wasteMl, usedMl, draws: [{ resin: job.resin, ml: usedMl }], change: null, atStartMl, left };
  const usable = (atStartMl - leastVatMl(manifest)) * 1000;
  const layer = usable > 0 ? job.takenMm3.findIndex((taken) => taken > usable) : -1;
  const to = nextResin(job.resin, stock);
  const short = Math.max(0, usedMl - Math.max(0, atStartMl));
  const fromOther = layer >= 0 && to !== null ? Math.min(short, stock.get(to)!) : 0;
  left.set(job.resin, atStartMl - (usedMl - fromOther));
  if (fromOther > 0) left.set(to!, stock.get(to!)! - fromOther);
  return {
    wasteMl,
    usedMl,
    draws: [
      { resin: job.resin, ml: usedMl - fromOther },
      ...(fromOther > 0 ? [{ resin: to!, ml: fromOther }] : []),
    ],
    change: layer < 0 ? null : { layer, to },
    atStartMl,
    left,
  };
}

export function resinNamed(manifest: Manifest, name: string): Resin {
  return manifest.resins.get(name) ?? assumedResin;
}

function nextResin(own: string, stock: Stock): string | null {
  let next: string | null = null;
  for (const [name, ml] of stock)
    if (name !== own && ml > 0 && (next === null || ml > stock.get(next)!)) next = name;
  return next;
}
