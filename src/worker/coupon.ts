import { join, resolve } from 'node:path';
import { readyFileName } from '../pipeline/readyFileName.ts';
import { removeAsides } from '../pipeline/writeAside.ts';
import { couponName } from '../pipeline/writeCoupon.ts';
import type { CouponParams, WrittenFile } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { stlSources } from './stlSources.ts';

/** Room for the kernel, which makes a body of some hundred facets. */
const bytes = 64 * 2 ** 20;

/** `coupon`: writes the coupon, unless it would take the place of a part's ready file. */
export async function coupon(params: CouponParams, { pool, call }: EngineContext): Promise<WrittenFile> {
  const { manifest } = await kitManifest(params);
  const { kitDir, format } = params;
  const ready = join(kitDir, 'ready');
  const out = params.out ?? ready;
  const isTaken = manifest.parts.some(({ name }) => name.toLowerCase() === couponName);
  if (isTaken && resolve(out) === resolve(ready)) {
    throw new RpcError({
      code: 'option-invalid',
      message: `The coupon would be written where the ready file of the part ${couponName} is: choose another folder with --out.`,
    });
  }
  const file = join(out, readyFileName(couponName, false, '', format));
  const request = { path: file, out, format, sources: stlSources(manifest, kitDir) };
  const { signal, progress } = call;
  const job = {
    bytes,
    urgent: false,
    signal,
    onProgress: ({ stage, fraction }: { stage: string; fraction: number }) =>
      progress({ kind: 'stage', part: couponName, stage, fraction }),
  };
  const written = await pool.run('coupon', request, job).catch(async (error: unknown) => {
    await removeAsides(file);
    throw error;
  });
  if (!written.ok) throw new RpcError(written.error);
  return written.value;
}
