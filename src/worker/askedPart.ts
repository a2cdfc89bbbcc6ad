import type { Part } from '../core/kit/manifest.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import type { KitSource } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { type KitManifest, kitManifest } from './kitManifest.ts';
import { wantedParts } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

export interface AskedPart extends KitManifest {
  readonly part: Part;
  readonly request: PartRequest;
}

/** The one part that a call is about. Fails `part-unknown`, and `manifest-unreadable` where it cannot be measured. */
export async function askedPart(
  source: KitSource & { readonly part: string },
  noCache: boolean,
): Promise<AskedPart> {
  const kit = await kitManifest(source);
  const [part] = wantedParts(kit.manifest, [source.part]) as [Part];
  const request = partRequestOf(kit.manifest, part, source.kitDir, noCache);
  if (request !== null) return { ...kit, part, request };
  const { findings } = kit.parsed;
  const reason = findings.find(({ part: of }) => of === part.name) ?? findings[0];
  throw new RpcError({
    code: 'manifest-unreadable',
    message: reason?.message ?? `${part.name} cannot be measured: kit.yaml says too little of it.`,
  });
}
