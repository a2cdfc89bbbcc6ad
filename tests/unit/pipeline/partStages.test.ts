import { mkdirSync, mkdtempSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { keptPart } from '../../../src/pipeline/keptPart.ts';
import { measurePart, type PartResult } from '../../../src/pipeline/measurePart.ts';
import type { PartRequest } from '../../../src/pipeline/partRequest.ts';
import { noShelf, type WarmShelf } from '../../../src/pipeline/warmShelf.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { join as joined, sphere, toStl, transformed } from '../../shapes.ts';
import { hands } from './thisThread.ts';

const manifest = `kit: The Lamplighter
scale: { finished: "1:4", factor: 1.2 }
machine:
  plate: [60, 50]
  height: 90
  margin: 2
  layer: 0.2
  vat: 350
  lift: { distance: 7, up: 60, down: 150, second: { distance: 3, up: 180, down: 200 } }
resins:
  slate: { density: 1.12, viscosity: 300, on-hand: 900, price: 38 }
limits: { least-chamber: 0.05 }
defaults: { wall: 1.5, resin: slate }
parts:
  globe:
    file: parts/globe.stl
    turn: [10, 20, 30]
    raise: 3
    fill: { name: sand, density: 1.6, level: 0.4 }
    coat: { name: varnish, density: 1.1, thickness: 0.2 }
    keep-solid:
      - { at: [3, 0, 0], radius: 1.5 }
    vents:
      - { at: [1, 0.5, -8], diameter: 3, depth: 3 }
      - { at: [-6, 0, -5.3], diameter: 2, toward: [1, 0, 0.9] }
    drains:
      - { at: [0, 1, 8], diameter: 2.5 }
`;

const stl = () => toStl(joined(sphere(8, 48), transformed(sphere(4, 32), { shift: [20, 3, 0] })));
const kit = mkdtempSync(join(tmpdir(), 'kitwright-stages-'));
let request: PartRequest;
beforeAll(async () => {
  // From its own folder, before a cut asks for it beside the bundle.
  await openSolid();
  mkdirSync(join(kit, 'parts'));
  writeFileSync(join(kit, 'parts/globe.stl'), stl());
  const parsed = parseManifest(manifest).manifest!;
  request = partRequestOf(parsed, parsed.parts[0]!, kit, false)!;
});
afterAll(() => rmSync(kit, { recursive: true, force: true }));

/** Measures with what is kept, and tells which stages were worked at beyond looking at the file. */
async function measured(of: PartRequest, warm: WarmShelf): Promise<{ result: PartResult; stages: string[] }> {
  const stages = new Set<string>();
  const stage = (name: string) => {
    stages.add(name);
    return uninterrupted;
  };
  const result = await measurePart(of, { stage, hands, warm }, { keepMeshes: false, hashAgain: false });
  for (const passing of ['reading', 'posing', 'indexing surfaces']) stages.delete(passing);
  if (!result.ok) throw new Error(result.error.message);
  return { result: result.value, stages: [...stages].sort() };
}

function mapShelf(): WarmShelf {
  const blocks = new Map<string, SharedArrayBuffer>();
  return {
    take: async (name) => blocks.get(name) ?? null,
    put: (name, block) => void blocks.set(name, block),
  };
}

/** By a computation that keeps nothing. */
const afresh = async (of: PartRequest): Promise<PartResult> =>
  (await measured({ ...of, kitDir: null }, noShelf)).result;

const late = ['reckoning loads'];
const pouring = ['pouring out chambers', ...late];
const drilling = ['placing openings', ...pouring];
const layers = ['reading layers', 'placing openings', ...late];
const posing = ['weighing', 'casting the footprint', 'measuring columns', 'pouring out chambers', ...layers];
const sizing = ['hollowing', 'filling chambers', 'finding necks', 'feeling walls'];
const hollowing = [...sizing, 'measuring columns', 'pouring out chambers', ...layers];
const everything = [...sizing, 'mending', 'welding', ...posing];

/** Every value of a request by its path: another value for it, and the stages that must then be worked at. */
const changes: Record<string, [value: unknown, stages: readonly string[]]> = {
  name: ['ball', []],
  factor: [1.3, [...sizing, ...posing]],
  cuts: [
    [
      {
        side: 'front',
        cut: {
          at: [0, 0, 2],
          toward: [0, 0, 1],
          keys: { count: 1 },
          key: { diameter: 3, length: 2, taper: 2, wall: 0.5 },
          clearance: 0.15,
          passages: [],
          lights: [],
        },
      },
    ],
    ['cutting', 'closing the cut', ...sizing, ...posing],
  ],
  turn: [[10, 20, 31], posing],
  raise: [4, posing],
  wall: [1.2, hollowing],
  keepSolid: [[{ index: 0, at: [3, 0, 0], radius: null, size: [1, 2, 3] }], hollowing],
  openings: ['see below', drilling],
  lights: [
    [
      {
        name: 'lantern',
        path: [
          [-12, 1, 0],
          [0, 1, 1],
          [12, 1, 0],
        ],
        radiusMm: 1,
        liningMm: 0.8,
      },
    ],
    ['following lights', ...hollowing],
  ],
  show: [
    [
      {
        outline: [
          [0, 2, 8],
          [2, -1, 8],
          [-2, -1, 8],
        ],
        facing: [0, 0, 1],
      },
    ],
    late,
  ],
  'machine.plate': [[70, 50], []],
  'machine.height': [80, []],
  'machine.layer': [0.1, layers],
  'machine.margin': [3, []],
  'machine.vat': [400, late],
  'machine.resinDepth': [12, late],
  'machine.leastResinDepth': [2, late],
  'machine.lift.distance': [8, late],
  'machine.lift.up': [61, late],
  'machine.lift.down': [151, late],
  'machine.lift.wait': [1.5, late],
  'machine.lift.second.distance': [4, late],
  'machine.lift.second.up': [181, late],
  'machine.lift.second.down': [201, late],
  'machine.exposure.base': [26, late],
  'machine.exposure.baseLayers': [6, late],
  'machine.exposure.normal': [2.6, late],
  'film.peel': [77, late],
  wash: [[0, 90, 0], pouring],
  supports: [
    {
      tip: 0.5,
      widestTip: 1.2,
      spacing: 5,
      strut: 1,
      plateHold: 100,
      safety: 1,
      raft: 1.2,
      raftLean: 45,
      byHand: [{ index: 0, at: [0, 0, -6], tip: 0.5 }],
      keepFree: [{ at: [3, 0, -6], radius: 1 }],
    },
    ['planning supports', ...late],
  ],
  'fill.name': ['plaster', late],
  'fill.density': [1.7, late],
  'fill.level': [0.5, late],
  'coat.name': ['shellac', late],
  'coat.density': [1.2, late],
  'coat.thickness': [0.3, late],
  'resin.name': ['chalk', []],
  'resin.density': [1.13, late],
  'resin.liquidDensity': [1.05, pouring],
  'resin.viscosity': [310, pouring],
  'resin.surfaceTension': [31, pouring],
  'resin.greenStrength': [16, late],
  'resin.greenModulus': [501, late],
  'resin.onHand': [901, []],
  'resin.bottles': [[400, 501], []],
  'resin.price': [39, []],
  'resin.trueSize.shrinkage': [[0.01, 0, 0], []],
  'resin.trueSize.spreadMm': [0.1, []],
  'resin.trueSize.boreLossMm': [0.2, []],
  'resin.trueSize.measured.shrinkage': [true, []],
  'resin.trueSize.measured.spread': [true, []],
  'resin.waste': [5, []],
  'limits.pull': [101, []],
  'limits.suction': [11, late],
  'limits.sealedLayers': [11, []],
  'limits.breatheLayers': [21, late],
  'limits.leastWall': [0.7, ['feeling walls', ...late]],
  'limits.wallFlex': [1.1, late],
  'limits.lump': [11, []],
  'limits.leastChamber': [0.06, hollowing],
  'limits.ceiling': [90, layers],
  'limits.ceilingSpan': [4, layers],
  'limits.selfSupport': [20, layers],
  'limits.areaJump': [2.5, []],
  'limits.areaJumpMm2': [99, []],
  'limits.island': [0.6, []],
  'limits.leastCup': [2.5, late],
  'limits.trapped': [0.6, []],
  'limits.left': [3, []],
  'limits.lamp': [7, late],
  'limits.lampReach': [100, late],
  'limits.unlit': [11, []],
  'limits.rinseWay': [4, late],
  'limits.rinseReach': [100, late],
  'limits.unrinsed': [4, []],
  'limits.jointReach': [2, []],
  'limits.jointTight': [0.2, []],
  'limits.jointLoose': [0.5, []],
  'limits.jointClash': [0.2, []],
  'limits.possibleShrinkage': [0.3, []],
  'limits.possibleSpread': [0.2, []],
  'limits.tipAngle': [12, []],
  'limits.triangles': [9e6, everything],
};

function leavesOf(value: object, path: string[] = []): string[] {
  return Object.entries(value).flatMap(([key, item]) =>
    item !== null && typeof item === 'object' && !Array.isArray(item)
      ? leavesOf(item, [...path, key])
      : [[...path, key].join('.')],
  );
}

function changed<T extends object>(value: T, [key, ...rest]: string[], to: unknown): T {
  const inner = rest.length === 0 ? to : changed((value as Record<string, object>)[key!]!, rest, to);
  return { ...value, [key!]: inner };
}

it('has every value of a request in its table', () => {
  const known = [...Object.keys(changes), 'path', 'kitDir', 'readCache'];
  expect(leavesOf(request).sort()).toEqual(known.sort());
});

it('works at nothing when nothing has changed, from memory or from disk', async () => {
  const shelf = mapShelf();
  const first = await measured(request, shelf);
  expect(first.stages).toEqual([...everything].sort());
  expect(first.result.facts.hollow.chambers.length).toBeGreaterThan(0);
  expect(first.result.facts.openings.filter(({ chamber }) => chamber !== null).length).toBeGreaterThan(1);
  for (const warm of [shelf, mapShelf(), noShelf]) {
    const again = await measured(request, warm);
    expect(again.stages).toEqual([]);
    expect(again.result).toEqual(first.result);
  }
  expect(await afresh(request)).toEqual(first.result);
}, 30_000);

it('gives kept facts without measuring, and none where they may not hold any more', async () => {
  const { result } = await measured(request, noShelf);
  expect(await keptPart(request)).toEqual({ facts: result.facts, frame: result.frame });
  const renamed = await keptPart({ ...request, name: 'ball' });
  expect(renamed).toEqual({ facts: { ...result.facts, name: 'ball' }, frame: result.frame });
  expect(await keptPart({ ...request, readCache: false })).toBeNull();
  expect(await keptPart({ ...request, kitDir: null })).toBeNull();
  expect(await keptPart({ ...request, raise: 7.5 })).toBeNull();
  expect(await keptPart({ ...request, film: { peel: 7.5 } })).toBeNull();
  const file = statSync(request.path);
  utimesSync(request.path, file.atime, new Date(file.mtimeMs + 5000));
  expect(await keptPart(request)).toBeNull();
  // Read and hashed again: the same content.
  await measured(request, noShelf);
  expect(await keptPart(request)).not.toBeNull();
  writeFileSync(request.path, toStl(sphere(8, 40)));
  expect(await keptPart(request)).toBeNull();
  writeFileSync(request.path, stl());
}, 30_000);

it('works at exactly the stages that a changed value reaches, and comes to what a fresh computation does', async () => {
  const shelf = mapShelf();
  // From scratch, so that everything stands on the shelf.
  await measured({ ...request, readCache: false }, shelf);
  for (const [path, [value, stages]] of Object.entries(changes)) {
    const [first, ...others] = request.openings;
    const other =
      path === 'openings'
        ? { ...request, openings: [{ ...first!, diameter: 3.4 }, ...others] }
        : changed(request, path.split('.'), value);
    const edited = await measured(other, shelf);
    expect(edited.stages, path).toEqual([...stages].sort());
    if (stages.length > 0) expect(edited.result.facts, path).toEqual((await afresh(other)).facts);
  }
}, 120_000);

it('cuts once for both halves, of which each is a part of its own', async () => {
  const shelf = mapShelf();
  const [front] = changes['cuts']![0] as PartRequest['cuts'];
  const turned = { ...front!, side: 'back' as const };
  const half = (...cuts: PartRequest['cuts'][number][]): PartRequest => ({ ...request, cuts });
  await measured(half(front!), shelf);
  const back = await measured(half(turned), shelf);
  expect(back.stages).not.toContain('cutting');
  expect(back.stages).toContain('hollowing');
  expect(back.result.facts).toEqual((await afresh(half(turned))).facts);
  // The second cut of a half is none of the other's.
  const second = { ...front!, cut: { ...front!.cut, toward: [1, 0, 0] as const } };
  for (const one of [half(front!, second), half(turned, second), half(second, turned)]) {
    const { result, stages } = await measured(one, shelf);
    expect(stages).toContain('cutting');
    expect(result.facts).toEqual((await afresh(one)).facts);
  }
}, 60_000);

it('looks again at the layers when the part outgrows the machine so far that they are only sketched', async () => {
  const shelf = mapShelf();
  await measured({ ...request, machine: { ...request.machine, layer: 0.003 } }, shelf);
  const tiny = { ...request, machine: { ...request.machine, layer: 0.003, plate: [9, 9] as const } };
  const sketched = await measured(tiny, shelf);
  expect(sketched.stages).toEqual([...layers].sort());
  expect(sketched.result.facts).toEqual((await afresh(tiny)).facts);
}, 60_000);

it('gives after any series of edits what a fresh computation gives', async () => {
  const shelf = mapShelf();
  const point = fc.tuple(...[8, 8, 8].map((most) => fc.double({ min: -most, max: most, noNaN: true })));
  const edit = fc.oneof(
    fc.record({ kind: fc.constant('move' as const), which: fc.nat(2), at: point }),
    fc.record({
      kind: fc.constant('resize' as const),
      which: fc.nat(2),
      to: fc.double({ min: 0.5, max: 6, noNaN: true }),
    }),
    fc.record({ kind: fc.constant('remove' as const), which: fc.nat(2) }),
    fc.record({ kind: fc.constant('turn' as const), to: fc.constantFrom(30, 31) }),
    fc.record({ kind: fc.constant('wall' as const), to: fc.constantFrom(1.5, 1.2, null) }),
    fc.record({ kind: fc.constant('suction' as const), to: fc.constantFrom(5, 10) }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(edit, { minLength: 1, maxLength: 6 }), async (edits) => {
      let edited = request;
      for (const step of edits) {
        const { openings } = edited;
        if (step.kind === 'turn') edited = { ...edited, turn: [10, 20, step.to] };
        else if (step.kind === 'wall') edited = { ...edited, wall: step.to };
        else if (step.kind === 'suction')
          edited = { ...edited, limits: { ...edited.limits, suction: step.to } };
        else if (step.kind === 'remove') {
          edited = { ...edited, openings: openings.filter((_, at) => at !== step.which) };
        } else {
          const now = step.kind === 'move' ? { at: step.at as never } : { diameter: step.to };
          edited = {
            ...edited,
            openings: openings.map((one, at) => (at === step.which ? { ...one, ...now } : one)),
          };
        }
        await measured(edited, shelf);
      }
      expect((await measured(edited, shelf)).result).toEqual(await afresh(edited));
    }),
    { numRuns: 12, seed: 20261125 },
  );
}, 180_000);
