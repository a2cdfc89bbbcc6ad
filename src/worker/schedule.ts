import { printJobs } from '../core/schedule/printJobs.ts';
import { schedulePrints } from '../core/schedule/schedulePrints.ts';
import { scheduleReport } from '../core/schedule/scheduleReport.ts';
import { scheduleText } from '../core/schedule/scheduleText.ts';
import type { KitSchedule, ScheduleParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { measureKit } from './measureKit.ts';

const dayMs = 86_400_000;

/** `schedule`: measures a kit and puts its prints one after the other. */
export async function schedule(params: ScheduleParams, context: EngineContext): Promise<KitSchedule> {
  const { manifest, measured, plates, findings } = await measureKit(
    params,
    null,
    params.noCache,
    context,
    'measure',
    () => {},
  );
  if (manifest === null)
    throw new RpcError({
      code: 'manifest-unreadable',
      message: findings[0]?.message ?? 'kit.yaml cannot be read.',
    });
  const facts = new Map([...measured].map(([name, part]) => [name, part.facts]));
  const jobs = printJobs(manifest, facts, plates);
  const { fromWallMs } = params;
  const midnightMs = fromWallMs === null ? null : Math.floor(fromWallMs / dayMs) * dayMs;
  const startHours =
    midnightMs === null ? manifest.attendance.fromHour : ((fromWallMs! - midnightMs) / dayMs) * 24;
  const report = scheduleReport(manifest, jobs, schedulePrints(jobs.jobs, manifest, startHours), midnightMs);
  return { ...report, markdown: scheduleText(report) };
}
