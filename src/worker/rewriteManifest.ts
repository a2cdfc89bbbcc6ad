import { join } from 'node:path';
import { manifestName } from '../pipeline/readManifest.ts';
import { writeAside } from '../pipeline/writeAside.ts';
import type { KitSource } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { manifestText } from './measureKit.ts';

/** Writes a manifest that was worked out from `before`, unless it has been changed meanwhile. */
export async function rewriteManifest(params: KitSource, before: string, text: string): Promise<void> {
  if ((await manifestText(params)) !== before) {
    throw new RpcError({
      code: 'file-unwritable',
      message:
        'kit.yaml was changed while something was being proposed, so it was left alone; propose again.',
    });
  }
  await writeAside(join(params.kitDir, manifestName), [new TextEncoder().encode(text)], true);
}
