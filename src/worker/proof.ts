import { join, resolve } from 'node:path';
import { keyEntry } from '../core/kit/keyTable.ts';
import { partCuts } from '../core/kit/partCuts.ts';
import { roundTo, roundVec3 } from '../core/kit/rounding.ts';
import type { ProofAsk } from '../core/proof/proofPlace.ts';
import { whatToLookFor } from '../core/proof/whatToLookFor.ts';
import { proofSuffix, readyFileName } from '../pipeline/readyFileName.ts';
import { removeAsides } from '../pipeline/writeAside.ts';
import type { WrittenProof } from '../pipeline/writeProof.ts';
import type { ProofParams, ProofReport } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { type AskedPart, askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { partJob } from './partJob.ts';
import { stlSources } from './stlSources.ts';
import { toSource } from './toSource.ts';

/** kPa, where the part has no supports that say so. */
const usualPlateHold = keyEntry('supports.plate-hold').fallback as number;

/** `proof`: writes a small piece of a part. A part that cannot be measured or cut is a failure. */
export async function proof(params: ProofParams, { pool, call }: EngineContext): Promise<ProofReport> {
  const asked = await askedPart(params, params.noCache);
  const { part, manifest, request } = asked;
  const { ask, size: sizeMm, format } = params;
  const ready = join(params.kitDir, 'ready');
  const out = params.out ?? ready;
  if (resolve(out) === resolve(ready)) refuseTakenName(asked);
  const sources = stlSources(manifest, params.kitDir);
  const plateHold = part.supports?.plateHold ?? usualPlateHold;
  const job = partJob(part.name, request, call);
  const writing = pool.run(
    'proof',
    { ...request, ask, sizeMm, out, format, sources, plateHold },
    { ...job, bytes: 2 * job.bytes },
  );
  const result = await writing.catch(async (error: unknown) => {
    await removeAsides(join(out, readyFileName(part.name, false, proofSuffix, format)));
    throw error;
  });
  if (!result.ok) throw new RpcError(result.error);
  const report = reportOf(part.name, result.value, toSource(result.value)(result.value.place.at));
  return { ...report, notes: [...report.notes, ...otherHalf(asked, result.value, ask)] };
}

/** How the piece is made that a key's plug or socket goes with. */
function otherHalf({ part, manifest }: AskedPart, { place }: WrittenProof, ask: ProofAsk | null): string[] {
  if (place.seam === undefined || ask?.kind !== 'key') return [];
  const own = partCuts(part).slice(0, place.seam + 1);
  const seam = own.at(-1)!;
  const wanted = [...own.slice(0, -1), { ...seam, side: seam.side === 'back' ? 'front' : 'back' }];
  const others = manifest.parts.filter((one) => {
    const cuts = partCuts(one);
    return (
      one.file === part.file &&
      wanted.every(({ name, side }, n) => cuts[n]?.name === name && cuts[n].side === side)
    );
  });
  if (others.length === 0) return [`No part of the kit is the other half of ${seam.name}.`];
  const command = `--of keys/${ask.index}`;
  // Cut further, either of its pieces may hold the key.
  const which =
    others.length === 1 ? 'Its other half' : 'Its other half is cut further; of its pieces one has the key';
  return [`${which}: ${others.map(({ name }) => `kitwright proof --part "${name}" ${command}`).join(', ')}`];
}

/** The piece's file would be the ready file of another part. */
function refuseTakenName({ part, manifest }: AskedPart): void {
  const name = `${part.name}${proofSuffix}`;
  if (!manifest.parts.some((other) => other.name.toLowerCase() === name.toLowerCase())) return;
  throw new RpcError({
    code: 'option-invalid',
    message: `The piece would be written where the ready file of the part ${name} is: choose another folder with --out.`,
  });
}

function reportOf(part: string, proof: WrittenProof, atSource: ProofReport['at']): ProofReport {
  const { place, piece, file } = proof;
  return {
    part,
    ...file,
    kind: place.kind,
    opening: place.opening,
    why: place.why,
    look: whatToLookFor[place.kind],
    at: roundVec3(place.at, 3),
    at_source: roundVec3(atSource, 4),
    size_mm: proof.sizeMm,
    cut_z_mm: roundTo(piece.box.min[2], 3),
    liquid_ml: roundTo(proof.liquidMm3 / 1000, 3),
    layers: piece.figures.layers,
    hours: roundTo(proof.hours, 3),
    stands_mm2: roundTo(piece.figures.standsMm2, 2),
    starts_in_air: piece.figures.islands.length,
    left_out: { bodies: piece.others, volume_ml: roundTo(piece.othersMm3 / 1000, 3) },
    peel_n: roundTo(proof.peelN, 2),
    part_pull_n: roundTo(proof.partPullN, 2),
    notes: proof.notes,
  };
}
