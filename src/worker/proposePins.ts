import { join } from 'node:path';
import { type Affine, applyAffine } from '../core/affine.ts';
import type { Cylinder } from '../core/cylindersApart.ts';
import { boresInTheWay, boresOf } from '../core/joints/boresInTheWay.ts';
import type { JointFacts } from '../core/joints/jointFacts.ts';
import {
  type HoleEntry,
  holeEntry,
  holesFault,
  holeThere,
  type PinHoles,
  pinHoles,
  withHoles,
} from '../core/joints/pinHoles.ts';
import type { PinMouth } from '../core/joints/pinLine.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { shorten } from '../core/kit/manifestPath.ts';
import { roundTo } from '../core/kit/rounding.ts';
import type { PinsRequest } from '../pipeline/placePins.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import type { KitPins, ProposePinsParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { kitManifest } from './kitManifest.ts';
import { type Measured, type MeasuredKit, measureKit } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** `proposePins`: a hole in each part for every pin that was decided on, and the manifest with them, written where that is asked for. */
export async function proposePins(params: ProposePinsParams, context: EngineContext): Promise<KitPins> {
  const { text, manifest } = await kitManifest(params);
  const source = { ...params, manifestText: text };
  const kit = await measureKit(source, null, params.noCache, context, 'measure', () => {});
  const left: { joint: string; message: string }[] = [];
  const decided = manifest.joints.flatMap(({ name, pin }) => {
    if (pin === null) return [];
    const facts = kit.joints.find((joint) => joint.decided === name);
    if (facts?.pin)
      return [{ name, facts, holes: pinHoles(facts.pin.load, pin, facts.pin.strength.strengthMpa) }];
    left.push({ joint: name, message: 'its parts do not meet, or no load on it is known; see the check.' });
    return [];
  });
  const requestOf = (name: string) =>
    partRequestOf(manifest, manifest.parts.find((part) => part.name === name)!, params.kitDir, false)!;
  const asked = decided.map(({ facts }) => ({
    parts: [requestOf(facts.first), requestOf(facts.second)] as const,
    at: facts.pin!.at,
    off: facts.joint.off,
  }));
  const lines = asked.length === 0 ? [] : await placed(params.kitDir, asked, context);
  const factor = manifest.scale.factor!;
  const pinned: DrilledHole[] = [];
  const made = decided.flatMap(({ name, facts, holes }, n) => {
    const line = lines[n]!;
    const fault = holesFault(holes, line, [facts.first, facts.second]);
    if (fault !== null) {
      left.push({ joint: name, message: fault });
      return [];
    }
    const drilled = [
      drill(facts.first, line!.first, holes, facts.toPrint[0], factor),
      drill(facts.second, line!.second, holes, facts.toPrint[1], factor),
    ];
    const entered = drilled.flatMap((hole) => inTheWay(hole, kit, manifest, pinned) ?? []);
    if (entered.length > 0) {
      left.push({ joint: name, message: entered.join(' And ') });
      return [];
    }
    pinned.push(...drilled.map((hole) => ({ ...hole, joint: name })));
    return [{ name, facts, holes, entries: drilled }];
  });
  const edited = withHoles(
    text,
    manifest,
    made.flatMap(({ entries }) => entries),
  );
  if (params.write && edited !== null && edited !== text) await rewriteManifest(params, text, edited);
  return {
    kit: manifest.kit,
    ok: edited !== null && left.length === 0,
    pins: made.map(({ name, facts, holes, entries }) => ({
      joint: name,
      parts: partsOf(facts),
      rod_mm: roundTo(holes.rodMm, 2),
      bore_mm: entries[0]!.entry.diameter,
      depth_mm: entries[0]!.entry.depth,
      holes: entries.map(({ part, entry }) => ({ part, at_source: entry.at, toward_source: entry.toward })),
    })),
    left,
    not_weighed: kit.assembled?.leftOut ?? [],
    failed:
      edited === null
        ? 'The tubes stand in kit.yaml in a way that cannot be edited by itself; copy the holes by hand.'
        : null,
    manifestText: edited ?? text,
  };
}

/** A hole as it is written, and as it stands in its part's print frame. */
interface PlacedHole {
  readonly part: string;
  readonly entry: HoleEntry;
  readonly cylinder: Cylinder;
}

interface DrilledHole extends PlacedHole {
  readonly joint: string;
}

function drill(part: string, mouth: PinMouth, holes: PinHoles, toPrint: Affine, factor: number): PlacedHole {
  const { linear } = toPrint;
  const cylinder = {
    from: applyAffine(toPrint, mouth.at),
    axis: applyAffine({ linear, shift: [0, 0, 0] }, mouth.toward),
    length: holes.depthMm,
    radius: holes.boreMm / 2,
  };
  return { part, entry: holeEntry(mouth, holes, factor), cylinder };
}

/** Null where nothing is: neither what the part has, the hole itself left out, nor the holes of pins before this one. */
function inTheWay(
  { part, entry, cylinder }: PlacedHole,
  { measured }: MeasuredKit<Measured>,
  { parts, limits, scale }: Manifest,
  pinned: readonly DrilledHole[],
): string | null {
  const { openings, lights } = measured.get(part)!.facts;
  const own = holeThere(parts.find(({ name }) => name === part)!.openings, entry, scale.factor!);
  const pins = pinned
    .filter((hole) => hole.part === part)
    .map((hole) => ({ name: `the pin of ${shorten(hole.joint)}`, cylinders: [hole.cylinder] }));
  const bores = [...boresOf(openings, lights, own === undefined ? [] : [own.id]), ...pins];
  return boresInTheWay(part, cylinder, bores, limits.leastWall);
}

const partsOf = ({ first, second }: JointFacts): readonly [string, string] => [first, second];

async function placed(kitDir: string, pins: PinsRequest['pins'], { pool, call }: EngineContext) {
  const bytes = pins.map(({ parts }) => estimateBytes(parts[0].path) + estimateBytes(parts[1].path));
  const found = await pool.run(
    'pins',
    { path: join(kitDir, manifestName), pins },
    {
      bytes: Math.max(...bytes),
      urgent: false,
      signal: call.signal,
      onProgress: ({ stage, fraction }) => call.progress({ kind: 'stage', part: 'pins', stage, fraction }),
    },
  );
  if (!found.ok) throw new RpcError(found.error);
  return found.value;
}
