import { join } from 'node:path';
import { keyEntry } from '../core/kit/keyTable.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { plateRoom } from '../core/kit/plateRoom.ts';
import { figure, plural } from '../core/kit/rules/figures.ts';
import { plateLoads } from '../core/plates/plateLoads.ts';
import { type PlateReport, plateReport } from '../core/plates/plateReport.ts';
import { freePlateNames, withPlates } from '../core/plates/platesProposal.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import type { KitPlates, ProposePlatesParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { platesJob } from './kitPlates.ts';
import { measureKit } from './measureKit.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `proposePlates`: new plates for all parts that are on none, and the manifest as they would have it, written where that is asked for. */
export async function proposePlates(params: ProposePlatesParams, context: EngineContext): Promise<KitPlates> {
  const { text, manifest } = await kitManifest(params);
  const source = { ...params, manifestText: text };
  const { measured } = await measureKit(source, null, params.noCache, context, 'measure', () => {});
  const facts = new Map([...measured].map(([name, part]) => [name, part.facts]));
  const taken = new Set(manifest.plates.flatMap(({ parts }) => parts.map(({ part }) => part)));
  const free = manifest.parts.filter(({ name, count }) => count > 0 && !taken.has(name));
  const fitting = free.filter(({ name }) => reasonApart(manifest, facts.get(name)) === null);
  const found = await context.pool.run(
    'proposePlates',
    { path: join(params.kitDir, manifestName), task: taskOf(manifest, fitting, facts) },
    platesJob(context.call),
  );
  const names = freePlateNames(manifest, found.plates.length);
  const plates = found.plates.map(({ parts }, n) => ({ name: names[n]!, parts }));
  const reports = found.plates.map(({ parts, layout }, n): [string, PlateReport] => {
    const listed = parts.map((part, index) => ({ index, part, at: null, spin: null }));
    const loads = plateLoads(
      parts.map((part) => facts.get(part)!),
      manifest.machine,
    );
    const plate = { name: names[n]!, gap: gapMm, parts: listed };
    return [names[n]!, plateReport(plate, listed, { layout, loads }, manifest.machine.layer)];
  });
  const edited = withPlates(text, plates);
  if (params.write && edited !== null && edited !== text) await rewriteManifest(params, text, edited);
  const apart = manifest.parts.flatMap((part) =>
    apartText(manifest, part, taken, facts.get(part.name), found.left),
  );
  return {
    kit: manifest.kit,
    ok: edited !== null,
    plates: Object.fromEntries(reports),
    left: apart,
    failed: edited === null ? cannotEdit : null,
    manifestText: edited ?? text,
  };
}

const cannotEdit =
  'The plates stand in kit.yaml in a way that cannot be edited by itself; copy the proposal by hand.';

/** What a plate without a `gap` of its own keeps. */
const gapMm = keyEntry('plates.*.gap').fallback as number;

function taskOf(
  { machine, limits }: Manifest,
  parts: readonly Part[],
  facts: ReadonlyMap<string, PartFacts>,
) {
  return {
    room: plateRoom(machine),
    gapMm,
    pullLimitN: limits.pull,
    parts: parts.map(({ name }) => {
      const { footprint, layers, loads } = facts.get(name)!;
      return { name, footprint, layers: layers.layers, pullN: loads.pullN };
    }),
  };
}

/** Why a part is on no plate, as far as its facts tell; null where it may be on one. */
function reasonApart({ machine }: Manifest, facts: PartFacts | undefined): string | null {
  if (facts === undefined) return 'it could not be measured; see what the check says.';
  const top = facts.mesh.bounds.max[2];
  return top > machine.height + 1e-3
    ? `it ends at ${figure(top, 'mm')}, the machine at ${figure(machine.height, 'mm')}.`
    : null;
}

function apartText(
  manifest: Manifest,
  { name, count, mirrored }: Part,
  taken: ReadonlySet<string>,
  facts: PartFacts | undefined,
  left: readonly { readonly part: string; readonly why: 'room' | 'pull' }[],
): KitPlates['left'] {
  if (taken.has(name)) return [];
  const why = left.find(({ part }) => part === name)?.why;
  const limit = figure(manifest.limits.pull, 'N');
  const reason =
    reasonApart(manifest, facts) ??
    (why === 'room' ? 'it is larger than the plate less its margin.' : null) ??
    (why === 'pull'
      ? `it alone pulls with up to ${figure(facts!.loads.peakPullN, 'N')}, above ${limit}.`
      : null);
  if (reason !== null) return [{ part: name, message: reason }];
  const copies = Math.max(0, count - 1) + mirrored;
  const message = `${plural(copies, 'more copy', 'more copies')} of it, mirror images included, ${copies === 1 ? 'is' : 'are'} on no plate: a plate takes each part once and as sculpted.`;
  return copies === 0 ? [] : [{ part: name, message }];
}
