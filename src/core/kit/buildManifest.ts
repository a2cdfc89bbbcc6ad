import type { AskedKeys, AskedPassage, CutDecision, CutSide } from '../cut/cutDecision.ts';
import type { Coat, Fill } from '../filling/filling.ts';
import type { ClearanceDecision, JointDecision, PinDecision } from '../joints/jointDecision.ts';
import type { Carried, Leds, Light, LightBore } from '../lights/light.ts';
import type { OpeningDecision, OpeningId, OpeningKind } from '../openings/opening.ts';
import type { StopperDecision } from '../openings/stopper.ts';
import { type RodMetal, rodMetals } from '../physics/rodMetals.ts';
import { type PoseWeights, poseConcerns } from '../pose/poseFigures.ts';
import { type BodyMeasure, bodyMeasures, bodySpread, type Sex } from '../scale/bodyMeasures.ts';
import { type BodyPiece, bodyPieceOfName } from '../scale/bodyPieces.ts';
import { type DerivedScale, deriveScale } from '../scale/deriveScale.ts';
import type { KnownAs, KnownLength } from '../scale/knownLength.ts';
import { ratioOf } from '../scale/ratioOf.ts';
import type { Attendance } from '../schedule/attendance.ts';
import type { ShowOutline } from '../showSide/showOutline.ts';
import type { HandPlaced, KeptFree, SupportDecision } from '../supports/supportDecision.ts';
import type { TrueSize } from '../trueSize/trueSize.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import type { CheckedTree } from './checkTree.ts';
import { keyEntry } from './keyTable.ts';
import type {
  Assembled,
  Film,
  KeepSolid,
  LightLimits,
  Limits,
  Machine,
  Manifest,
  ManifestPath,
  Part,
  Plate,
  Resin,
  Scale,
} from './manifest.ts';
import { formatPath } from './manifestPath.ts';
import { ManifestValues } from './manifestValues.ts';
import { openingPath } from './openingPath.ts';
import { passagesOf } from './passagesOf.ts';
import { roundTo } from './rounding.ts';

/** Makes the manifest from its usable values, every gap filled from the key table. */
export function buildManifest(checked: CheckedTree): Manifest {
  const values = new ManifestValues(checked);
  const resins = new Map(values.names(['resins']).map((name) => [name, buildResin(values, name)]));
  const lights = values.names(['lights']).flatMap((name) => buildLight(values, name) ?? []);
  const cuts = buildCuts(values, lights);
  return {
    kit: values.given<string>(['kit']) ?? 'Untitled kit',
    scale: buildScale(values),
    machine: buildMachine(values),
    attendance: buildAttendance(values),
    film: buildFilm(values),
    resins,
    limits: buildLimits(values),
    pose: buildPoseWeights(values),
    assembled: buildAssembled(values),
    joints: values.names(['joints']).map((name) => buildJoint(values, name)),
    cuts,
    parts: values.names(['parts']).map((name) => buildPart(values, name, resins, cuts, lights)),
    usualSupports: buildUsualSupports(values),
    plates: values.names(['plates']).map((name) => buildPlate(values, name)),
    lights,
    lightLimits: buildLightLimits(values),
    assumptions: values.assumptions,
  };
}

function buildAssembled(values: ManifestValues): Assembled | null {
  if (values.given<string>(['assembled']) === 'no') return null;
  return { up: values.of<Vec3>(['assembled', 'up']) };
}

function buildJoint(values: ManifestValues, name: string): JointDecision {
  const parts = [0, 1].flatMap((n) => values.given<string>(['joints', name, 'parts', n]) ?? []);
  return { name, parts, pin: buildPin(values, name), clearance: buildClearance(values, name) };
}

function buildClearance(values: ManifestValues, joint: string): ClearanceDecision | null {
  const mm = values.given<number>(['joints', joint, 'clearance']);
  const give = values.given<string>(['joints', joint, 'give']) ?? null;
  if (mm === undefined) return null;
  if (give === null)
    values.note(
      formatPath(['joints', joint, 'give']),
      'the socket; where there is none, the second part named',
      '',
      'engineering choice, no source: nobody sees the inside of a socket',
    );
  return { mm, give };
}

function buildPin(values: ManifestValues, joint: string): PinDecision | null {
  const given = <T>(key: string) => values.given<T>(['joints', joint, 'pin', key]) ?? null;
  const metal = given<RodMetal>('metal');
  if (metal === null) return null;
  const of = (key: string) => values.of<number>(['joints', joint, 'pin', key], `joints.*.pin.${key}`);
  const yieldMpa = given<number>('yield');
  if (yieldMpa === null) {
    const { yieldMpa: usual, basis } = rodMetals[metal];
    values.note(`yield of a ${metal} rod`, usual, 'MPa', basis);
  }
  return {
    metal,
    yieldMpa,
    diameter: given<number>('diameter'),
    depth: given<number>('depth'),
    safety: of('safety'),
    handling: of('handling'),
    clearance: of('clearance'),
    at: given<Vec3>('at'),
  };
}

function buildScale(values: ManifestValues): Scale {
  const finished = values.given<string>(['scale', 'finished']) ?? null;
  const given = values.given<number>(['scale', 'factor']);
  const derived = given === undefined ? buildDerivedScale(values, finished) : null;
  const stylised = values.given<string>(['scale', 'stylised']) === 'yes';
  return { finished, factor: given ?? derived?.factor ?? null, derived, stylised };
}

/** A subject length of 1768 mm at 1:4 is 442 mm in print; 130 units in the STL give a factor of 3.4. */
function buildDerivedScale(values: ManifestValues, finished: string | null): DerivedScale | null {
  const path = ['scale', 'from'];
  const count = values.isList(path) ? values.length(path) : null;
  const lengths =
    count === null
      ? [buildKnownLength(values, path, null)]
      : Array.from({ length: count }, (_, index) => buildKnownLength(values, [...path, index], index));
  const usable = lengths.filter((length) => length !== null);
  // What cannot be used is a finding of its own; a factor from the rest would not be the one that was meant.
  if (usable.length === 0 || usable.length < lengths.length) return null;
  const picking = values.of<number>(['scale', 'picking']);
  return deriveScale(usable, ratioOf(finished), picking);
}

function buildKnownLength(
  values: ManifestValues,
  path: ManifestPath,
  index: number | null,
): KnownLength | null {
  const given = <T>(key: string) => values.given<T>([...path, key]);
  const between = given<readonly [Vec3, Vec3]>('between') ?? null;
  const length = given<number>('source');
  if ((length === undefined) === (between === null)) return null;
  const source = length ?? norm(subtract(between![1], between![0]));
  const known = buildKnown(values, path);
  return known === null ? null : { index, source, between, known };
}

function buildKnown(values: ManifestValues, path: ManifestPath): KnownAs | null {
  const given = <T>(key: string) => values.given<T>([...path, key]);
  const [subject, print] = [given<number>('subject'), given<number>('print')];
  const measure = given<BodyMeasure>('measure');
  if ([subject, measure, print].filter((value) => value !== undefined).length !== 1) return null;
  if (subject !== undefined) return { kind: 'subject', mm: subject };
  if (print !== undefined) return { kind: 'print', mm: print };
  const sex = given<Sex>('sex') ?? null;
  const { mean, deviation } = bodySpread(measure!, sex);
  const shown = `${roundTo(mean, 1)} ± ${roundTo(deviation, 1)}`;
  values.note(formatPath([...path, 'measure']), shown, 'mm', bodyMeasures[measure!].basis);
  return { kind: 'measure', measure: measure!, sex };
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
  const bottles = [values.given<number | readonly number[]>(['resins', name, 'on-hand']) ?? []].flat();
  return {
    name,
    density: of('density'),
    liquidDensity: of('liquid-density'),
    viscosity: of('viscosity'),
    surfaceTension: of('surface-tension'),
    greenStrength: of('green-strength'),
    greenModulus: of('green-modulus'),
    onHand: bottles.length === 0 ? null : bottles.reduce((sum, ml) => sum + ml, 0),
    bottles,
    price: values.given<number>(['resins', name, 'price']) ?? null,
    waste: of('waste'),
    trueSize: buildTrueSize(values, name),
  };
}

function buildTrueSize(values: ManifestValues, resin: string): TrueSize {
  const given = <T>(key: string) => values.given<T>(['resins', resin, key]);
  const percent = given<number | Vec3>('shrinkage');
  const [x, y, z] = typeof percent === 'object' ? percent : [percent ?? 0, percent ?? 0, percent ?? 0];
  const spread = given<number>('spread');
  return {
    shrinkage: [x / 100, y / 100, z / 100],
    spreadMm: spread ?? 0,
    boreLossMm: given<number>('bore-loss') ?? 0,
    measured: { shrinkage: percent !== undefined, spread: spread !== undefined },
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
    jointReach: of('joint-reach'),
    jointTight: of('joint-tight'),
    jointLoose: of('joint-loose'),
    jointClash: of('joint-clash'),
    possibleShrinkage: of('possible-shrinkage'),
    possibleSpread: of('possible-spread'),
    tipAngle: of('tip-angle'),
    triangles: of('triangles'),
  };
}

function buildPart(
  values: ManifestValues,
  name: string,
  resins: ReadonlyMap<string, Resin>,
  described: Manifest['cuts'],
  lights: readonly Light[],
): Part {
  const at = (key: string) => ['parts', name, key];
  const cuts = buildPartCuts(values, at('cut'), described);
  const openings = [
    ...buildOpenings(values, name, 'vent'),
    ...buildOpenings(values, name, 'drain'),
    ...buildOpenings(values, name, 'tube'),
    ...passagesOf(cuts),
  ];
  const of = <T>(key: string) => values.of<T>(at(key), `parts.*.${key}`);
  return {
    name,
    file: values.given<string>(at('file')) ?? null,
    cuts,
    body: buildBody(values, name),
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

function buildBody(values: ManifestValues, part: string): BodyPiece | null {
  const told = values.given<BodyPiece | 'none'>(['parts', part, 'body']) ?? bodyPieceOfName(part);
  return told === 'none' ? null : told;
}

function buildPartCuts(values: ManifestValues, path: string[], cuts: Manifest['cuts']): Part['cuts'] {
  return values.names(path).flatMap((name) => {
    const side = values.given<CutSide>([...path, name]);
    return side === undefined ? [] : [{ name, side, cut: cuts.get(name) ?? null }];
  });
}

/** A cut without a plane is a finding, and cuts nothing. */
function buildCuts(values: ManifestValues, lights: readonly Light[]): ReadonlyMap<string, CutDecision> {
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
      const passages = buildPassages(values, ['cuts', name, 'passages']);
      const through = lights.filter((light) =>
        light.through.some(({ part }) => values.names(['parts', part, 'cut']).includes(name)),
      );
      const clearance = of('clearance');
      return [
        [name, { at, toward, keys, key, clearance, passages, lights: through.map(boreOfLight) }] as const,
      ];
    }),
  );
}

function buildPassages(values: ManifestValues, list: string[]): AskedPassage[] {
  return Array.from({ length: values.length(list) }).flatMap((_, index) => {
    const leaf = <T>(key: string) => values.given<T>([...list, index, key]);
    const at = leaf<Vec3>('at');
    const diameter = leaf<number>('diameter');
    const depth = leaf<number>('depth');
    if (at === undefined || diameter === undefined) return [];
    return [{ index, at, diameter, ...(depth !== undefined && { depth }) }];
  });
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
  const own = openingPath(part, id, 'stopper');
  const word = values.given<string>(own);
  const given = (key: string) => values.given<number>([...own, key]);
  const asked = word === 'yes' || stopperSettings.some((key) => given(key) !== undefined);
  const usual = kind !== 'tube' && values.given<string>(['stoppers']) !== 'no';
  if (word === 'no' || kind === 'passage' || !(asked || usual)) return null;
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
