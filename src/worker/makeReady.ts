import { join } from 'node:path';
import type { Finding } from '../core/kit/finding.ts';
import { isErrorOfKit } from '../core/kit/isErrorOfKit.ts';
import type { Part } from '../core/kit/manifest.ts';
import { readyFileName, stopperSuffix, supportSuffix } from '../pipeline/readyFileName.ts';
import { removeAsides } from '../pipeline/writeAside.ts';
import type { MakeReadyParams, ReadyFile, ReadyReport } from '../protocol/engineApi.ts';
import { clearancesOf, withPartners } from './clearancesOf.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { kitManifest } from './kitManifest.ts';
import { type Measured, type MeasuredKit, measureKit } from './measureKit.ts';
import { partJob } from './partJob.ts';
import { partRequestOf } from './partRequestOf.ts';
import { namesWithPlates, readyPlates } from './readyPlates.ts';
import { stlSources } from './stlSources.ts';

type Refusal = ReadyReport['refused'][number];

/** `make-ready`: writes every part asked for that has no errors; the others are refused with the reason. */
export async function makeReady(params: MakeReadyParams, context: EngineContext): Promise<ReadyReport> {
  const wanted = params.plates === null ? params.parts : await namesWithPlates(params, params.plates.names);
  const names = wanted && withPartners((await kitManifest(params)).manifest, wanted);
  const kit = await measureKit<Measured>(params, names, params.noCache, context, 'measure', () => {});
  const asked = params.parts ?? (params.plates === null ? null : []);
  const parts = (kit.manifest?.parts ?? []).filter(({ name }) => asked === null || asked.includes(name));
  // All of them, so that after a cancel each has tidied up before the caller hears of it.
  const settled = await Promise.allSettled(
    parts.map(async (part): Promise<ReadyFile[] | Refusal> => {
      const reason = refusalIn(kit, part, params);
      return reason === null ? writePart(part, kit, params, context) : { part: part.name, message: reason };
    }),
  );
  const outcomes = settled.map((outcome) => {
    if (outcome.status === 'rejected') throw outcome.reason;
    return outcome.value;
  });
  const refused = outcomes.filter((outcome): outcome is Refusal => !Array.isArray(outcome));
  const onPlates = await readyPlates(params, kit, (part) => refusalIn(kit, part, params), context);
  return {
    kit: kit.manifest?.kit ?? '',
    ok:
      refused.length + onPlates.refused.length === 0 &&
      // A part whose name cannot be used is not among the refused, for instance.
      (params.evenWithErrors || !kit.findings.some(isErrorOfKit)),
    written: outcomes.flatMap((outcome) => (Array.isArray(outcome) ? outcome : [])),
    refused,
    plates: onPlates.written,
    refused_plates: onPlates.refused,
    findings: kit.findings,
  };
}

const refusalIn = (
  { findings, measured }: MeasuredKit<Measured>,
  part: Part,
  { evenWithErrors }: MakeReadyParams,
): string | null => refusal(part, findings, evenWithErrors, measured.has(part.name));

/** Of a broken text no decision is sure (the vents of a part may be what could not be read), of a doubtful scale no size. */
const isDoubt = ({ code }: Finding): boolean => code === 'yaml-invalid' || code === 'scale-missing';

/** Why a part is not written; null when it may be. Errors of the manifest as a whole do not hold back a part. */
function refusal(
  part: Part,
  findings: readonly Finding[],
  evenWithErrors: boolean,
  measured: boolean,
): string | null {
  const errors = findings.filter((finding) => finding.part === part.name && finding.severity === 'error');
  const doubt = findings.find(isDoubt);
  if (doubt !== undefined && !evenWithErrors) return `${doubt.code}: ${doubt.message}`;
  if (measured && (errors.length === 0 || evenWithErrors)) return null;
  if (errors.length === 0) return 'It could not be measured; see the findings of the manifest.';
  const [first, ...more] = errors;
  return `${first!.code}: ${first!.message}${more.length === 0 ? '' : ` And ${more.length} more.`}`;
}

async function writePart(
  part: Part,
  kit: MeasuredKit<Measured>,
  { kitDir, out, format, held }: MakeReadyParams,
  context: EngineContext,
): Promise<ReadyFile[] | Refusal> {
  // What the check of this same command has just computed (anew, where that was asked for) may be read.
  const manifest = kit.manifest!;
  const request = partRequestOf(manifest, part, kitDir, false)!;
  const clearances = clearancesOf(kit, manifest, part, kitDir);
  const besides = Math.max(0, ...clearances.reliefs.map(({ other }) => estimateBytes(other.path)));
  const folder = out ?? join(kitDir, 'ready');
  const job = partJob(part.name, request, context.call);
  const writing = context.pool.run(
    'ready',
    {
      ...request,
      out: folder,
      sources: stlSources(manifest, kitDir),
      format,
      held,
      stoppers: part.stoppers,
      clearances,
      asSculpted: part.count > 0,
      withMirrored: part.mirrored > 0,
    },
    { ...job, bytes: 2 * job.bytes + besides },
  );
  const result = await writing.catch(async (error: unknown) => {
    for (const mirrored of [false, true]) {
      for (const suffix of ['', stopperSuffix, supportSuffix]) {
        await removeAsides(join(folder, readyFileName(part.name, mirrored, suffix, format)));
      }
    }
    throw error;
  });
  return result.ok
    ? result.value
    : { part: part.name, message: `${result.error.code}: ${result.error.message}` };
}
