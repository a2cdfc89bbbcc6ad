import type { AskedKeys, CutDecision, CutSide } from '../cut/cutDecision.ts';
import type { Coat, Fill } from '../filling/filling.ts';
import type { Carried, Leds, Light, LightBore } from '../lights/light.ts';
import type { OpeningDecision, OpeningId, OpeningKind } from '../openings/opening.ts';
import type { StopperDecision } from '../openings/stopper.ts';
import { type PoseWeights, poseConcerns } from '../pose/poseFigures.ts';
import type { Attendance } from '../schedule/attendance.ts';
import type { ShowOutline } from '../showSide/showOutline.ts';
import type { HandPlaced, KeptFree, SupportDecision } from '../supports/supportDecision.ts';
import type { Vec3 } from '../vector.ts';
import type { CheckedTree } from './checkTree.ts';
import { keyEntry } from './keyTable.ts';
import type {
  Film,
  KeepSolid,
  LightLimits,
  Limits,
  Machine,
  Manifest,
  Part,
  Plate,
  Resin,
  Scale,
} from './manifest.ts';
import { ManifestValues } from './manifestValues.ts';

/** Makes the manifest from its usable values, every gap filled from the key table. */
export function buildManifest(checked: CheckedTree): Manifest {
  const values = new ManifestValues(checked);
  const resins = new Map(values.names(['resins']).map((name) => [name, buildResin(values, name)]));
  const cuts = buildCuts(values);
  const lights = values.names(['lights']).flatMap((name) => buildLight(values, name) ?? []);
  return {
    kit: values.given<string>(['kit']) ?? 'Untitled kit',
    scale: buildScale(values),
    machine: buildMachine(values),
    attendance: buildAttendance(values),
    film: buildFilm(values),
    resins,
    limits: buildLimits(values),
    pose: buildPoseWeights(values),
    cuts,
    parts: values.names(['parts']).map((name) => buildPart(values, name, resins, cuts, lights)),
    usualSupports: buildUsualSupports(values),
    plates: values.names(['plates']).map((name) => buildPlate(values, name)),
    lights,
    lightLimits: buildLightLimits(values),
    assumptions: values.assumptions,
  };
}

function buildScale(values: ManifestValues): Scale {
  const finished = values.given<string>(['scale', 'finished']) ?? null;
  const factor = values.given<number>(['scale', 'factor']) ?? factorFromLength(values, finished);
  return { finished, factor };
}

/** A subject length of 1768 mm at 1:4 is 442 mm in print; 130 units in the STL give a factor of 3.4. */
function factorFromLength(values: ManifestValues, finished: string | null): number | null {
  const source = values.given<number>(['scale', 'from', 'source']);
  const subject = values.given<number>(['scale', 'from', 'subject']);
  if (source === undefined || subject === undefined || finished === null) return null;
  const factor = subject / Number(finished.slice(2)) / source;
  return Number.isFinite(factor) && factor > 0 ? factor : null;
}

function buildMachine(values: ManifestValues): Machine {
  const lift = (key: string) => values.of<number>(['machine', 'lift', key]);
  const exposure = (key: string) => values.of<number>(['machine', 'exposure', key]);
  const machine = (key: string) => values.of<number>(['machine', key]);
  return {
    plate: values.of<readonly [number, number]>(['machine', 'plate']),
    height: machine('height'),
    layer: machine('layer'),
    margin: machine('margin'),
    vat: machine('vat'),
    resinDepth: machine('resin-depth'),
    leastResinDepth: machine('least-resin-depth'),
    lift: {
      distance: lift('distance'),
      up: lift('up'),
      down: lift('down'),
      wait: lift('wait'),
      second: buildSecondStage(values),
    },
    exposure: {
      base: exposure('base'),
      baseLayers: exposure('base-layers'),
      normal: exposure('normal'),
    },
  };
}

function buildAttendance(values: ManifestValues): Attendance {
  const [fromHour, toHour] = values.of<readonly [number, number]>(['machine', 'attended']);
  return { fromHour, toHour, changeoverMin: values.of<number>(['machine', 'changeover']) };
}

function buildSecondStage(values: ManifestValues): Machine['lift']['second'] {
  const stage = (key: string) => values.given<number>(['machine', 'lift', 'second', key]);
  const distance = stage('distance');
  const up = stage('up');
  const down = stage('down');
  return distance === undefined || up === undefined || down === undefined ? null : { distance, up, down };
}

function buildPoseWeights(values: ManifestValues): PoseWeights {
  const weights = poseConcerns.map((concern) => [concern, values.of<number>(['pose', concern])]);
  return Object.fromEntries(weights) as PoseWeights;
}

function buildFilm(values: ManifestValues): Film {
  return { peel: values.of<number>(['film', 'peel']) };
}

function buildResin(values: ManifestValues, name: string): Resin {
  const of = (key: string) => values.of<number>(['resins', name, key], `resins.*.${key}`);
  return {
    name,
    density: of('density'),
    liquidDensity: of('liquid-density'),
    viscosity: of('viscosity'),
    surfaceTension: of('surface-tension'),
    greenStrength: of('green-strength'),
    greenModulus: of('green-modulus'),
    onHand: values.given<number>(['resins', name, 'on-hand']) ?? null,
    price: values.given<number>(['resins', name, 'price']) ?? null,
    waste: of('waste'),
  };
}

function buildLimits(values: ManifestValues): Limits {
  const of = (key: string) => values.of<number>(['limits', key]);
  return {
    pull: of('pull'),
    suction: of('suction'),
    sealedLayers: of('sealed-layers'),
    breatheLayers: of('breathe-layers'),
    leastCup: of('least-cup'),
    leastWall: of('least-wall'),
    wallFlex: of('wall-flex'),
    lump: of('lump'),
    leastChamber: of('least-chamber'),
    trapped: of('trapped'),
    ceiling: of('ceiling'),
    ceilingSpan: of('ceiling-span'),
    selfSupport: of('self-support'),
    areaJump: of('area-jump'),
    areaJumpMm2: of('area-jump-mm2'),
    island: of('island'),
    left: of('left'),
    lamp: of('lamp'),
    lampReach: of('lamp-reach'),
    unlit: of('unlit'),
    rinseWay: of('rinse-way'),
    rinseReach: of('rinse-reach'),
    unrinsed: of('unrinsed'),
    triangles: of('triangles'),
  };
}

function buildPart(
  values: ManifestValues,
  name: string,
  resins: ReadonlyMap<string, Resin>,
  cuts: Manifest['cuts'],
  lights: readonly Light[],
): Part {
  const at = (key: string) => ['parts', name, key];
  const openings = [
    ...buildOpenings(values, name, 'vent'),
    ...buildOpenings(values, name, 'drain'),
    ...buildOpenings(values, name, 'tube'),
  ];
  const of = <T>(key: string) => values.of<T>(at(key), `parts.*.${key}`);
  return {
    name,
    file: values.given<string>(at('file')) ?? null,
    cuts: buildPartCuts(values, at('cut'), cuts),
    turn: of<Vec3>('turn'),
    raise: of<number>('raise'),
    wash: values.given<Vec3>(at('wash')) ?? null,
    wall: buildWall(values, at('wall')),
    supports: buildSupports(values, name),
    keepSolid: buildKeepSolid(values, at('keep-solid')),
    openings,
    lights: lights.filter(({ through }) => through.some(({ part }) => part === name)).map(boreOfLight),
    stoppers: openings.flatMap((opening) => buildStopper(values, name, opening) ?? []),
    fill: buildFill(values, name),
    coat: buildCoat(values, name),
    show: buildShow(values, at('show')),
    resin: chooseResin(values, at('resin'), resins),
    count: of<number>('count'),
    mirrored: of<number>('mirrored'),
  };
}

function buildPartCuts(values: ManifestValues, path: string[], cuts: Manifest['cuts']): Part['cuts'] {
  return values.names(path).flatMap((name) => {
    const side = values.given<CutSide>([...path, name]);
    return side === undefined ? [] : [{ name, side, cut: cuts.get(name) ?? null }];
  });
}

/** A cut without a plane is a finding, and cuts nothing. */
function buildCuts(values: ManifestValues): ReadonlyMap<string, CutDecision> {
  return new Map(
    values.names(['cuts']).flatMap((name) => {
      const at = values.given<Vec3>(['cuts', name, 'at']);
      const toward = values.given<Vec3>(['cuts', name, 'toward']);
      if (at === undefined || toward === undefined) return [];
      const of = (...keys: string[]) =>
        values.of<number>(['cuts', name, ...keys], ['cuts', '*', ...keys].join('.'));
      const key = {
        diameter: of('key', 'diameter'),
        length: of('key', 'length'),
        taper: of('key', 'taper'),
        wall: of('key', 'wall'),
      };
      const keys = buildKeys(values, name, key.diameter);
      return [[name, { at, toward, keys, key, clearance: of('clearance') }] as const];
    }),
  );
}

function buildKeys(values: ManifestValues, cut: string, usual: number): AskedKeys {
  const path = ['cuts', cut, 'keys'];
  if (!values.isList(path)) return { count: values.of<number>(path, 'cuts.*.keys') };
  const places = Array.from({ length: values.length(path) }, (_, index) => {
    const at = values.given<Vec3>([...path, index, 'at']);
    const diameter = values.given<number>([...path, index, 'diameter']) ?? usual;
    return at === undefined ? [] : [{ index, at, diameter }];
  });
  return { places: places.flat() };
}

/** Entries that name no part are findings and left out. */
function buildPlate(values: ManifestValues, name: string): Plate {
  const list = ['plates', name, 'parts'];
  const parts = Array.from({ length: values.length(list) }).flatMap((_, index) => {
    const given = <T>(key: string) => values.given<T>([...list, index, key]);
    const part = given<string>('part');
    if (part === undefined) return [];
    return [
      {
        index,
        part,
        at: given<readonly [number, number]>('at') ?? null,
        spin: given<number>('spin') ?? null,
      },
    ];
  });
  return { name, gap: values.of<number>(['plates', name, 'gap'], 'plates.*.gap'), parts };
}

/** One without a path or a diameter is a finding, and no light. */
function buildLight(values: ManifestValues, name: string): Light | null {
  const own = (...keys: string[]) => ['lights', name, ...keys];
  const given = <T>(...keys: string[]) => values.given<T>(own(...keys));
  const path = given<readonly Vec3[]>('path');
  const diameter = given<number>('diameter');
  if (path === undefined || diameter === undefined) return null;
  const through = Array.from({ length: values.length(own('through')) }).flatMap((_, index) => {
    const part = values.given<string>([...own('through'), index]);
    return part === undefined ? [] : [{ index, part }];
  });
  return {
    name,
    path,
    diameter,
    lining: values.of<number>(own('lining'), 'lights.*.lining'),
    through,
    carries: buildCarried(values, name),
    connector: given<number>('connector') ?? null,
    leds: buildLeds(values, name),
  };
}

function buildCarried(values: ManifestValues, light: string): Carried | null {
  const given = (key: string) => values.given<number>(['lights', light, 'carries', key]);
  const fibre = given('fibre');
  const diameter = fibre ?? given('cable');
  if (diameter === undefined) return null;
  const count = values.of<number>(['lights', light, 'carries', 'count'], 'lights.*.carries.count');
  const kind = fibre === undefined ? 'cable' : 'fibre';
  return { kind, diameter, count, bendRadius: given('bend-radius') ?? null };
}

function buildLeds(values: ManifestValues, light: string): Leds | null {
  const given = (key: string) => values.given<number>(['lights', light, 'leds', key]);
  const asked = ['count', 'current', 'forward', 'supply', 'length'].map(given);
  const [gauge, section] = [given('gauge'), given('section')];
  if (asked.some((value) => value === undefined) || (gauge === undefined && section === undefined))
    return null;
  const [count, currentMa, forwardV, supplyV, lengthM] = asked as [number, number, number, number, number];
  return {
    count,
    currentMa,
    forwardV,
    supplyV,
    lengthM,
    gauge: gauge ?? null,
    sectionMm2: section ?? null,
    sizeMm: given('size') ?? null,
  };
}

const boreOfLight = ({ name, path, diameter, lining }: Light): LightBore => ({
  name,
  path,
  radiusMm: diameter / 2,
  liningMm: lining,
});

function buildLightLimits(values: ManifestValues): LightLimits {
  const of = (key: string) => values.of<number>(['limits', key]);
  return { gapMm: of('light-gap'), dropPercent: of('led-drop'), heatW: of('led-heat') };
}

function buildFill(values: ManifestValues, part: string): Fill | null {
  const given = <T>(key: string) => values.given<T>(['parts', part, 'fill', key]);
  const density = given<number>('density');
  if (density === undefined) return null;
  const level = values.of<number>(['parts', part, 'fill', 'level'], 'parts.*.fill.level');
  return { name: given<string>('name') ?? 'a filling', density, level };
}

function buildCoat(values: ManifestValues, part: string): Coat | null {
  const given = <T>(key: string) => values.given<T>(['parts', part, 'coat', key]);
  const density = given<number>('density');
  const thickness = given<number>('thickness');
  if (density === undefined || thickness === undefined) return null;
  return { name: given<string>('name') ?? 'a coat', density, thickness };
}

function buildWall(values: ManifestValues, path: string[]): number | null {
  const wall = values.given<number | 'solid'>(path) ?? values.of<number | 'solid'>(['defaults', 'wall']);
  return wall === 'solid' ? null : wall;
}

/** Entries that name no one region are findings and left out. */
function buildKeepSolid(values: ManifestValues, list: string[]): KeepSolid[] {
  const regions: KeepSolid[] = [];
  for (let index = 0; index < values.length(list); index++) {
    const at = values.given<Vec3>([...list, index, 'at']);
    const radius = values.given<number>([...list, index, 'radius']) ?? null;
    const size = values.given<Vec3>([...list, index, 'size']) ?? null;
    if (at !== undefined && (radius === null) !== (size === null)) regions.push({ index, at, radius, size });
  }
  return regions;
}

/** The part's resin, else the kit's default, else the only one there is. */
function chooseResin(
  values: ManifestValues,
  path: string[],
  resins: ReadonlyMap<string, Resin>,
): string | null {
  const asked = values.given<string>(path) ?? values.given<string>(['defaults', 'resin']);
  if (asked !== undefined) return asked;
  return resins.size === 1 ? [...resins.keys()][0]! : null;
}

function buildOpenings(values: ManifestValues, part: string, kind: OpeningKind): OpeningDecision[] {
  const list = ['parts', part, `${kind}s`];
  const openings: OpeningDecision[] = [];
  for (let index = 0; index < values.length(list); index++) {
    const leaf = <T>(key: string) => values.given<T>([...list, index, key]);
    const at = leaf<Vec3>('at');
    const diameter = leaf<number>('diameter');
    if (at === undefined || diameter === undefined) continue;
    const depth = leaf<number>('depth');
    const toward = leaf<Vec3>('toward');
    const id: OpeningId = `${kind}s/${index}`;
    if (depth === undefined) {
      values.note('depth of openings without one', 'wall + 2.5', 'mm', 'common practice, no source');
    }
    openings.push({ id, kind, at, diameter, ...(depth && { depth }), ...(toward && { toward }) });
  }
  return openings;
}

/** The opening's own settings, else the kit's. Null where it gets none: a tube that does not ask, or `no`. */
function buildStopper(
  values: ManifestValues,
  part: string,
  { id, kind }: OpeningDecision,
): StopperDecision | null {
  const [list, index] = id.split('/') as [string, string];
  const own = ['parts', part, list, Number(index), 'stopper'];
  const word = values.given<string>(own);
  const given = (key: string) => values.given<number>([...own, key]);
  const asked = word === 'yes' || stopperSettings.some((key) => given(key) !== undefined);
  const usual = kind !== 'tube' && values.given<string>(['stoppers']) !== 'no';
  if (word === 'no' || !(asked || usual)) return null;
  const [clearance, taper, lip] = stopperSettings.map(
    (key) => given(key) ?? values.of<number>(['stoppers', key]),
  ) as [number, number, number];
  return { opening: id, clearance, taper, lip };
}

/** The part's own settings, else the kit's. Null where nobody asks for supports, or the part says `none`. */
function buildSupports(values: ManifestValues, part: string): SupportDecision | null {
  const own = ['parts', part, 'supports'];
  const word = values.given<string>(own);
  const given = (key: string) => values.given<number>([...own, key]);
  const byHand = buildHandPlaced(values, [...own, 'by-hand']);
  const keepFree = buildKeptFree(values, [...own, 'keep-free']);
  const asked =
    word === 'planned' ||
    supportSettings.some((key) => given(key) !== undefined) ||
    handKeys.some((key) => values.isList([...own, key]));
  if (word === 'none' || !(asked || values.given<string>(['supports']) === 'planned')) return null;
  return supportDecision((key) => given(key) ?? values.of<number>(['supports', key]), byHand, keepFree);
}

/** For room that is kept before anybody asks for supports; nothing is assumed by it. */
function buildUsualSupports(values: ManifestValues): SupportDecision {
  const usual = (key: string) => keyEntry(`supports.${key}`).fallback as number;
  return supportDecision((key) => values.given<number>(['supports', key]) ?? usual(key), [], []);
}

function supportDecision(
  of: (key: (typeof supportSettings)[number]) => number,
  byHand: SupportDecision['byHand'],
  keepFree: SupportDecision['keepFree'],
): SupportDecision {
  return {
    tip: of('tip'),
    widestTip: Math.max(of('tip'), of('widest-tip')),
    spacing: of('spacing'),
    strut: of('strut'),
    plateHold: of('plate-hold'),
    safety: of('safety'),
    raft: of('raft'),
    raftLean: of('raft-lean'),
    byHand,
    keepFree,
  };
}

function buildHandPlaced(values: ManifestValues, list: string[]): HandPlaced[] {
  const placed: HandPlaced[] = [];
  for (let index = 0; index < values.length(list); index++) {
    const at = values.given<Vec3>([...list, index, 'at']);
    const tip = values.given<number>([...list, index, 'tip']) ?? null;
    if (at !== undefined) placed.push({ index, at, tip });
  }
  return placed;
}

function buildKeptFree(values: ManifestValues, list: string[]): KeptFree[] {
  const kept: KeptFree[] = [];
  for (let index = 0; index < values.length(list); index++) {
    const at = values.given<Vec3>([...list, index, 'at']);
    const radius = values.given<number>([...list, index, 'radius']);
    if (at !== undefined && radius !== undefined) kept.push({ at, radius });
  }
  return kept;
}

const supportSettings = [
  'tip',
  'widest-tip',
  'spacing',
  'strut',
  'plate-hold',
  'safety',
  'raft',
  'raft-lean',
] as const;

/** A list that was emptied still says that supports are planned. */
const handKeys = ['by-hand', 'keep-free'];

const stopperSettings = ['clearance', 'taper', 'lip'] as const;

function buildShow(values: ManifestValues, list: string[]): ShowOutline[] {
  return Array.from({ length: values.length(list) }).flatMap((_, index) => {
    const outline = values.given<readonly Vec3[]>([...list, index, 'outline']);
    if (outline === undefined) return [];
    return [{ outline, facing: values.given<Vec3>([...list, index, 'facing']) ?? null }];
  });
}
