import { statSync } from 'node:fs';
import { join } from 'node:path';
import { findingTable } from '../core/kit/findingTable.ts';
import type { Manifest, Part, Plate } from '../core/kit/manifest.ts';
import { platedParts } from '../core/kit/rules/plateParts.ts';
import { judgePlate } from '../core/kit/rules/plates.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import { plateSuffix, readyFileName } from '../pipeline/readyFileName.ts';
import { removeAsides } from '../pipeline/writeAside.ts';
import type { ReadyPlateRequest } from '../pipeline/writePlate.ts';
import type { MakeReadyParams, PlateFile, ReadyReport } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { clearancesOf } from './clearancesOf.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { kitManifest } from './kitManifest.ts';
import { platesJob } from './kitPlates.ts';
import type { Measured, MeasuredKit } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';
import { stlSources } from './stlSources.ts';

type Refusal = ReadyReport['refused_plates'][number];

/** The parts asked for and those of the plates; fails `part-unknown` for a plate that is not there. */
export async function namesWithPlates(params: MakeReadyParams, plates: readonly string[]): Promise<string[]> {
  const { manifest } = await kitManifest(params);
  const onPlates = plates.flatMap((name) => {
    const plate = manifest.plates.find((candidate) => candidate.name === name);
    if (plate !== undefined) return platedParts(manifest, plate).map(({ part }) => part);
    const known = manifest.plates.map((other) => other.name).join(', ');
    throw new RpcError({
      code: 'part-unknown',
      message: `${manifestName} has no plate \`${name}\`. It has: ${known || 'none'}.`,
    });
  });
  return [...(params.parts ?? []), ...onPlates];
}

/** Writes every plate asked for that has no errors, nor any of its parts; the others are refused with the reason. */
export async function readyPlates(
  params: MakeReadyParams,
  kit: MeasuredKit<Measured>,
  refusalOf: (part: Part) => string | null,
  context: EngineContext,
): Promise<{ readonly written: readonly PlateFile[]; readonly refused: readonly Refusal[] }> {
  const written: PlateFile[] = [];
  const refused: Refusal[] = [];
  for (const name of new Set(params.plates?.names)) {
    const plate = kit.manifest?.plates.find((candidate) => candidate.name === name);
    if (plate === undefined) continue;
    const reason = plateRefusal(params, kit, plate, refusalOf);
    const outcome =
      reason === null ? await writeOne(params, kit, plate, context) : { plate: name, message: reason };
    if ('message' in outcome) refused.push(outcome);
    else written.push(outcome);
  }
  return { written, refused };
}

/** Why a plate is not written; null when it may be. */
function plateRefusal(
  { evenWithErrors }: MakeReadyParams,
  { manifest, parsed, plates }: MeasuredKit<Measured>,
  plate: Plate,
  refusalOf: (part: Part) => string | null,
): string | null {
  const own = platedParts(manifest!, plate).map(({ part }) => partOf(manifest!, part));
  for (const part of own) {
    const reason = refusalOf(part);
    if (reason !== null) return `${part.name}: ${reason}`;
  }
  const facts = plates.get(plate.name);
  if (own.length === 0 || facts === undefined) return 'It has no parts that could be measured.';
  if (facts.layout.places.every((place) => place === null)) return 'None of its parts finds room on it.';
  const text = parsed.findings.filter(({ path }) => path[0] === 'plates' && path[1] === plate.name);
  const errors = [...text, ...judgePlate(manifest!, plate, facts)].filter(
    ({ code }) => findingTable[code].severity === 'error',
  );
  const [first, ...more] = errors;
  if (first === undefined || evenWithErrors) return null;
  return `${first.code}: ${first.message}${more.length === 0 ? '' : ` And ${more.length} more.`}`;
}

const partOf = ({ parts }: Manifest, name: string): Part => parts.find((part) => part.name === name)!;

async function writeOne(
  params: MakeReadyParams,
  kit: MeasuredKit<Measured>,
  plate: Plate,
  { pool, call }: EngineContext,
): Promise<PlateFile | Refusal> {
  const { kitDir } = params;
  const { manifest, plates } = kit;
  const { places } = plates.get(plate.name)!.layout;
  const own = platedParts(manifest!, plate);
  const request: ReadyPlateRequest = {
    path: join(kitDir, manifestName),
    name: plate.name,
    out: params.out ?? join(kitDir, 'ready'),
    format: params.plates!.format,
    sources: stlSources(manifest!, kitDir),
    plate: manifest!.machine.plate,
    // What the check of this same command has just computed may be read.
    parts: own.flatMap(({ part }, n) => {
      const place = places[n] ?? null;
      if (place === null) return [];
      const decided = partOf(manifest!, part);
      const clearances = clearancesOf(kit, manifest!, decided, kitDir);
      return [{ request: partRequestOf(manifest!, decided, kitDir, false)!, clearances, place }];
    }),
  };
  const job = { ...platesJob(call), bytes: bytesOf(request) };
  const result = await pool.run('readyPlate', request, job).catch(async (error: unknown) => {
    await removeAsides(join(request.out, readyFileName(plate.name, false, plateSuffix, request.format)));
    throw error;
  });
  if (!result.ok) return { plate: plate.name, message: `${result.error.code}: ${result.error.message}` };
  const left = own.filter((_, n) => places[n] === null).map(({ part }) => part);
  if (left.length === 0) return result.value;
  const note = `${left.join(', ')} found no room and ${left.length === 1 ? 'is' : 'are'} not in the file.`;
  return { ...result.value, notes: [...result.value.notes, note] };
}

/** Each part is made at its peak by itself; what stays of the others, two surfaces each, takes less than their files. */
function bytesOf({ parts }: ReadyPlateRequest): number {
  const paths = parts.map(({ request }) => request.path);
  const besides = parts.flatMap(({ clearances }) => clearances.reliefs.map(({ other }) => other.path));
  const largest = Math.max(...paths.map(estimateBytes)) + Math.max(0, ...besides.map(estimateBytes));
  return 2 * largest + paths.reduce((sum, path) => sum + fileSize(path), 0);
}

function fileSize(path: string): number {
  try {
    return statSync(path).size;
  } catch {
    // Reading it will tell what is wrong with it.
    return 0;
  }
}
