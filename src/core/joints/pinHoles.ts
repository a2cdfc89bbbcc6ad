import { applyEdits, insertIntoList, setValue } from '../kit/edits.ts';
import type { Manifest } from '../kit/manifest.ts';
import { openingPath } from '../kit/openingPath.ts';
import type { YamlValue } from '../kit/renderYaml.ts';
import { roundTo } from '../kit/rounding.ts';
import { figure } from '../kit/rules/figures.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import { sourceRounding } from '../sourceRounding.ts';
import { norm, scale, subtract, type Vec3 } from '../vector.ts';
import type { PinDecision } from './jointDecision.ts';
import type { JointLoad } from './jointLoads.ts';
import type { PinLine, PinMouth } from './pinLine.ts';
import { pinStrength } from './pinStrength.ts';

/** The holes of one pin: one line, a bore in each part. mm. */
export interface PinHoles {
  readonly rodMm: number;
  readonly boreMm: number;
  /** Of each hole. */
  readonly depthMm: number;
}

/** Rods are sold in steps of this, about; holes are drilled to it. */
const STEP_MM = 0.5;
/** A hole is at least so many rods deep, and deeper than the rod by this, for glue; common practice, no source. */
const LEAST_DEPTH = 3;
const BEYOND_MM = 0.5;
/** Solid that stays between the end of a hole and the outside: the usual wall. */
const LEFT_MM = 1.5;

export function pinHoles(load: JointLoad, pin: PinDecision, strengthMpa: number): PinHoles {
  const needed = pinStrength(load, pin, strengthMpa).neededMm;
  const rodMm = pin.diameter ?? stepUp(needed);
  const { neededDepthMm } = pinStrength(load, { ...pin, diameter: rodMm }, strengthMpa);
  const rodDepth = pin.depth ?? Math.max(stepUp(neededDepthMm), LEAST_DEPTH * rodMm);
  return { rodMm, boreMm: rodMm + pin.clearance, depthMm: rodDepth + BEYOND_MM };
}

const stepUp = (mm: number): number => STEP_MM * Math.ceil(mm / STEP_MM - 1e-9);

/** Why the holes have no room along a line; null where they have. */
export function holesFault(
  { depthMm }: PinHoles,
  line: PinLine | null,
  parts: readonly [string, string],
): string | null {
  if (line === null) {
    return 'a straight pin through its place meets no two faces that look at each other; say at where it passes.';
  }
  const rooms = [line.first, line.second].map(({ roomMm }) => roomMm);
  const short = rooms.findIndex((room) => room < depthMm + LEFT_MM);
  if (short < 0) return null;
  return `${parts[short]!} has ${figure(rooms[short]!, 'mm')} of solid along it, too little for a hole of ${figure(depthMm, 'mm')} and ${figure(LEFT_MM, 'mm')} behind it; take a thicker rod, less depth, or another place (at).`;
}

/** A hole as it stands in the manifest, among the part's tubes. Source coordinates. */
export interface HoleEntry {
  readonly at: Vec3;
  readonly toward: Vec3;
  readonly diameter: number;
  readonly depth: number;
}

export function holeEntry(mouth: PinMouth, { boreMm, depthMm }: PinHoles, factor: number): HoleEntry {
  return {
    at: sourceRounding(factor)(scale(mouth.at, 1 / factor)),
    toward: mouth.toward.map((along) => roundTo(along, 4)) as unknown as Vec3,
    diameter: roundTo(boreMm, 2),
    depth: roundTo(depthMm, 1),
  };
}

/** The tube that stands where a hole is to be. */
export const holeThere = (
  openings: readonly OpeningDecision[],
  { at: place, diameter }: HoleEntry,
  factor: number,
): OpeningDecision | undefined =>
  openings.find(({ kind, at }) => kind === 'tube' && norm(subtract(at, place)) * factor < diameter / 2);

/** The manifest with a tube for each hole, those that it has as wide and deep as they are to be; null where its text does not allow it. */
export function withHoles(
  text: string,
  { parts, scale: { factor } }: Manifest,
  holes: readonly { readonly part: string; readonly entry: HoleEntry }[],
): string | null {
  let edited = text;
  for (const { part, entry } of holes) {
    const there = holeThere(parts.find(({ name }) => name === part)!.openings, entry, factor!);
    if (there !== undefined) {
      const now = asDrilled(edited, part, there, entry);
      if (now === null) return null;
      edited = now;
      continue;
    }
    const item: YamlValue = {
      at: [...entry.at],
      diameter: entry.diameter,
      depth: entry.depth,
      toward: [...entry.toward],
    };
    const edits = insertIntoList(edited, ['parts', part, 'tubes'], item);
    if (edits.length === 0) return null;
    edited = applyEdits(edited, edits);
  }
  return edited;
}

/** A hole that stands there, with the sizes of this one. */
function asDrilled(text: string, part: string, hole: OpeningDecision, entry: HoleEntry): string | null {
  let edited = text;
  for (const key of ['diameter', 'depth', 'toward'] as const) {
    if (JSON.stringify(hole[key]) === JSON.stringify(entry[key])) continue;
    const value = key === 'toward' ? [...entry.toward] : entry[key];
    const edits = setValue(edited, openingPath(part, hole.id, key), value);
    if (edits.length === 0) return null;
    edited = applyEdits(edited, edits);
  }
  return edited;
}
