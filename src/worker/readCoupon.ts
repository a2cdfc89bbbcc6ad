import { applyEdits } from '../core/kit/edits.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { couponEdits } from '../core/trueSize/couponEdits.ts';
import { readCoupon as reading } from '../core/trueSize/readCoupon.ts';
import type { CouponRead, ReadCouponParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { kitManifest } from './kitManifest.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `readCoupon`: what a measured coupon tells of a resin, put into the manifest where that is asked for. */
export async function readCoupon(params: ReadCouponParams): Promise<CouponRead> {
  const { text: before, manifest } = await kitManifest(params);
  const resin = resinOf(manifest, params.resin);
  const told = reading(params.measures);
  if (!told.ok) throw new RpcError(told.error);
  const edits = couponEdits(before, resin, told.value);
  if (edits === null) {
    throw new RpcError({
      code: 'manifest-unreadable',
      message: `${resin} stands in the manifest in a way that cannot be edited by itself; write the keys by hand.`,
    });
  }
  const manifestText = applyEdits(before, edits);
  if (params.write && manifestText !== before) await rewriteManifest(params, before, manifestText);
  return { resin, reading: told.value, manifestText };
}

function resinOf({ resins }: Manifest, asked: string | null): string {
  const known = [...resins.keys()];
  const chosen = asked ?? (known.length === 1 ? known[0]! : null);
  if (chosen !== null && resins.has(chosen)) return chosen;
  const list = known.join(', ') || 'none; describe it under `resins` first';
  throw new RpcError({
    code: 'option-invalid',
    message:
      chosen === null
        ? `Say which resin the coupon was printed in. The manifest has: ${list}.`
        : `The manifest has no resin ${chosen}. It has: ${list}.`,
  });
}
