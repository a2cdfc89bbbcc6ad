import { massProperties } from '../core/mesh/massProperties.ts';
import type { Result } from '../core/result.ts';
import { asDrawn } from '../core/trueSize/trueSize.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { couponSolid } from '../solid/couponSolid.ts';
import { intoFolder } from './intoFolder.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';
import { type ReadyTarget, writeSolids } from './writeSolids.ts';

export type CouponRequest = Omit<ReadyTarget, 'name' | 'resin'> & { readonly path: string };

export const couponName = 'coupon';

/** Writes the coupon as drawn, without any compensation: what it then measures is what is to be compensated. */
export async function writeCoupon(
  request: CouponRequest,
  context: StageContext,
): Promise<Result<WrittenFile>> {
  const mesh = couponSolid(await solidKernel());
  if (!mesh.ok) return mesh;
  const interrupter = context.stage('writing');
  const { volume } = massProperties(mesh.value, interrupter);
  const target = { ...request, name: couponName, resin: { trueSize: asDrawn } };
  return intoFolder(request.out, async () => {
    const solid = { name: couponName, type: 'model', mesh: mesh.value, volume } as const;
    const [file] = await writeSolids([solid], '', false, target, interrupter);
    return file!;
  });
}
