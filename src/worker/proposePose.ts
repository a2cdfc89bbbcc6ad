import { applyEdits } from '../core/kit/edits.ts';
import type { Machine } from '../core/kit/manifest.ts';
import { printTime } from '../core/physics/printTime.ts';
import { poseEdits } from '../core/pose/poseEdits.ts';
import { type PoseProposalReport, poseProposalReport } from '../core/pose/poseReport.ts';
import type { KitPoses, ProposePoseParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { keepPictures } from './keepPictures.ts';
import { kitManifest } from './kitManifest.ts';
import { wantedParts } from './measureKit.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `proposePose`: a few poses for each part that is asked for, one of which is written where that is asked for. */
export async function proposePose(params: ProposePoseParams, context: EngineContext): Promise<KitPoses> {
  const { text: before, manifest } = await kitManifest(params);
  let text = before;
  const parts: Record<string, PoseProposalReport> = {};
  const pictures: Record<string, readonly string[]> = {};
  const failed: { part: string; message: string }[] = [];
  for (const part of wantedParts(manifest, params.parts)) {
    const request = partRequestOf(manifest, part, params.kitDir, params.noCache);
    if (request === null) continue;
    const result = await context.pool.run(
      'poses',
      {
        ...request,
        weights: manifest.pose,
        usualSupports: manifest.usualSupports,
        withPictures: params.pictures !== null,
      },
      partJob(part.name, request, context.call),
    );
    if (!result.ok) {
      failed.push({ part: part.name, message: `${result.error.code}: ${result.error.message}` });
      continue;
    }
    const report = poseProposalReport(result.value, request.factor, hoursOf(manifest.machine));
    parts[part.name] = report;
    if (params.pictures !== null) {
      pictures[part.name] = await keepPictures(part.name, result.value.pictures, params.pictures.into);
    }
    if (params.write === null) continue;
    const pose = report.poses[params.write - 1];
    if (pose === undefined) {
      failed.push({
        part: part.name,
        message: `there is no pose ${params.write} for it; its turn was left alone.`,
      });
      continue;
    }
    const edits = poseEdits(text, part, pose);
    if (edits !== null) text = applyEdits(text, edits);
    else failed.push({ part: part.name, message: cannotEdit });
  }
  if (text !== before) await rewriteManifest(params, before, text);
  const ok = failed.length === 0 && Object.values(parts).every(({ poses }) => poses.length > 0);
  return { kit: manifest.kit, ok, parts, pictures, failed };
}

const cannotEdit =
  'it stands in the manifest in a way that cannot be edited by itself; copy the pose by hand.';

const hoursOf =
  ({ layer, lift, exposure }: Machine) =>
  (heightMm: number): number =>
    printTime(Math.ceil(heightMm / layer - 1e-6), lift, exposure) / 3600;
