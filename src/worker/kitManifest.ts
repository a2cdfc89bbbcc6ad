import type { Manifest } from '../core/kit/manifest.ts';
import { type ParsedManifest, parseManifest } from '../core/kit/parseManifest.ts';
import type { KitSource } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { manifestText } from './measureKit.ts';

export interface KitManifest {
  readonly text: string;
  readonly parsed: ParsedManifest;
  readonly manifest: Manifest;
}

/** A kit's manifest for a call that can do nothing without one; fails `manifest-unreadable`. */
export async function kitManifest(source: KitSource): Promise<KitManifest> {
  const text = await manifestText(source);
  const parsed = parseManifest(text);
  const { manifest } = parsed;
  if (manifest === null)
    throw new RpcError({ code: 'manifest-unreadable', message: 'kit.yaml cannot be read; mend it first.' });
  return { text, parsed, manifest };
}
