import { difference } from '../kit/difference.ts';
import {
  applyEdits,
  insertIntoList,
  removeAt,
  repeatEntry,
  replaceKey,
  setValue,
  type TextEdit,
} from '../kit/edits.ts';
import type { KeepSolid, Manifest, Part, Plate } from '../kit/manifest.ts';
import { openingPath } from '../kit/openingPath.ts';
import type { YamlValue } from '../kit/renderYaml.ts';
import { usualCut } from '../kit/usualCut.ts';
import type { Light } from '../lights/light.ts';
import { norm, type Vec3 } from '../vector.ts';
import type { CutSide } from './cutDecision.ts';
import { heightOver } from './heightOver.ts';
import type { SplitReport } from './splitReport.ts';

/** A plane as it goes into the manifest, source coordinates. */
type Plane = Pick<SplitReport, 'at' | 'toward'>;

export interface SplitEdit {
  readonly edits: readonly TextEdit[];
  /** The parts that take the place of the one that is cut, and the cut. */
  readonly names: Readonly<Record<CutSide | 'cut', string>>;
}

/**
 * Puts two parts in the place of one, as one edit of the manifest's text: the part's own lines twice,
 * comments included, each with its half of the cut. Openings and supports placed by hand go to the half they
 * lie on, regions that are kept solid to every half they reach into; all else stays with both. A plate that the
 * part is on takes both halves, arranged by themselves; a light that runs through it, those that it runs in. Null when the text does not let itself be edited so.
 */
export function splitEdits(
  text: string,
  part: Part,
  split: SplitReport,
  { parts, cuts, plates, lights }: Pick<Manifest, 'parts' | 'cuts' | 'plates' | 'lights'>,
  factor: number,
): SplitEdit | null {
  const names = parts.map(({ name }) => name);
  const back = free(`${part.name}-a`, names);
  const front = free(`${part.name}-b`, names);
  const cut = free(`${part.name}-seam`, [...cuts.keys()]);
  const diameter = split.key_diameter_mm;
  const key = diameter === usualCut.key.diameter ? {} : { key: { diameter } };
  const decision: YamlValue = {
    at: [...split.at],
    toward: [...split.toward],
    keys: split.keys,
    ...key,
  };
  const steps: Step[] = [
    (now) => repeatEntry(now, ['parts', part.name], front),
    (now) => replaceKey(now, ['parts', part.name], back),
    ...halfSteps(part, back, 'back', cut, split, factor),
    ...halfSteps(part, front, 'front', cut, split, factor),
    (now) => setValue(now, ['cuts', cut], decision),
    ...plates.flatMap((plate) => plateSteps(plate, part.name, back, front)),
    ...lights.flatMap((light) => lightSteps(light, part.name, split, { back, front })),
  ];
  let changed = text;
  for (const step of steps) {
    const edits = step(changed);
    if (edits.length === 0) return null;
    changed = applyEdits(changed, edits);
  }
  return { edits: [difference(text, changed)], names: { back, front, cut } };
}

type Step = (text: string) => readonly TextEdit[];

/** Names of parts are file names too, so letter case does not make two of them. */
function free(name: string, taken: readonly string[]): string {
  const known = new Set(taken.map((other) => other.toLowerCase()));
  let found = name;
  for (let n = 2; known.has(found.toLowerCase()); n++) found = `${name}${n}`;
  return found;
}

function halfSteps(
  part: Part,
  name: string,
  side: CutSide,
  cut: string,
  split: SplitReport,
  factor: number,
): Step[] {
  const { turn, raise_mm } = split.halves[side];
  const isRaised = part.supports !== null && part.raise < raise_mm;
  const isTurned = turn.some((angle, axis) => angle !== part.turn[axis]);
  const elsewhere = part.openings.filter(({ kind, at }) => kind !== 'passage' && sideOf(split, at) !== side);
  const heldElsewhere = (part.supports?.byHand ?? []).filter(({ at }) => sideOf(split, at) !== side);
  const unreached = part.keepSolid.filter((region) => !reachesInto(region, split, side, factor));
  return [
    (text) => setValue(text, ['parts', name, 'cut', cut], side),
    ...(isTurned ? [(text: string) => setValue(text, ['parts', name, 'turn'], [...turn])] : []),
    ...(isRaised ? [(text: string) => setValue(text, ['parts', name, 'raise'], raise_mm)] : []),
    // From the end of each list, so that the places of the others stay.
    ...elsewhere.toReversed().map(
      ({ id }): Step =>
        (text) =>
          removeAt(text, openingPath(name, id)),
    ),
    ...heldElsewhere.toReversed().map(
      ({ index }): Step =>
        (text) =>
          removeAt(text, ['parts', name, 'supports', 'by-hand', index]),
    ),
    ...unreached.toReversed().map(
      ({ index }): Step =>
        (text) =>
          removeAt(text, ['parts', name, 'keep-solid', index]),
    ),
  ];
}

/** The part's place on the plate is neither half's, so a name alone takes its entry. */
function plateSteps({ name, parts }: Plate, part: string, back: string, front: string): Step[] {
  const list = ['plates', name, 'parts'];
  const own = parts.filter((entry) => entry.part === part);
  if (own.length === 0) return [];
  return [
    ...own.map(
      ({ index }): Step =>
        (text) =>
          setValue(text, [...list, index], back),
    ),
    (text) => insertIntoList(text, list, front),
  ];
}

function lightSteps(
  { name, through }: Light,
  part: string,
  { lights }: SplitReport,
  names: Readonly<Record<CutSide, string>>,
): Step[] {
  const list = ['lights', name, 'through'];
  const own = through.filter((entry) => entry.part === part);
  if (own.length === 0) return [];
  const { halves } = lights.find(({ light }) => light === name) ?? { halves: ['back', 'front'] as const };
  const [first, ...others] = halves.map((side) => names[side]);
  return [
    ...own.map(
      ({ index }): Step =>
        (text) =>
          setValue(text, [...list, index], first!),
    ),
    ...others.map(
      (other): Step =>
        (text) =>
          insertIntoList(text, list, other),
    ),
  ];
}

const sideOf = (split: Plane, at: Vec3): CutSide => (heightOver(split, at) > 0 ? 'front' : 'back');

function reachesInto({ at, radius, size }: KeepSolid, split: Plane, side: CutSide, factor: number): boolean {
  const across = split.toward.map((along) => Math.abs(along) / norm(split.toward));
  const reach = radius ?? (size ?? [0, 0, 0]).reduce((sum, mm, axis) => sum + (mm / 2) * across[axis]!, 0);
  const height = heightOver(split, at) * factor;
  return side === 'front' ? height + reach > 0 : height - reach < 0;
}
