import { roundTo, roundVec3 } from '../kit/rounding.ts';
import { figure, plural } from '../kit/rules/figures.ts';
import type { Vec3 } from '../vector.ts';
import type { CutSide } from './cutDecision.ts';
import type { HeldHalf } from './heldHalf.ts';
import { type LightCut, SHALLOW_DEG } from './lightsCut.ts';

/** Cuts for one part, for people and programs: `propose split --json`. */
export interface SplitProposalReport {
  /** As the manifest has it. */
  readonly now: { readonly turn: Vec3; readonly fits: boolean; readonly size_mm: Vec3 };
  /** A turn of the whole part in which it would fit without a cut; null where there is none. */
  readonly whole_fits_turned: Vec3 | null;
  /** The first is the best; none for a part that fits. */
  readonly splits: readonly SplitReport[];
  readonly compared: number;
}

export interface SplitReport {
  /** As it goes into the manifest. */
  readonly at: Vec3;
  readonly toward: Vec3;
  /** Both halves by themselves; and with the feet of their supports. */
  readonly fits: boolean;
  readonly fits_held: boolean;
  readonly section_mm2: number;
  readonly seam_mm: number;
  readonly shown_seam_mm: number;
  readonly keys: number;
  readonly keys_wanted: number;
  readonly key_diameter_mm: number;
  /** Of the part: the halves each runs in, and the least angle at which the cut meets its tube; null where it does not. */
  readonly lights: readonly {
    readonly light: string;
    readonly halves: readonly CutSide[];
    readonly angle_deg: number | null;
  }[];
  readonly halves: Readonly<Record<CutSide, HalfReport>>;
  readonly why: string;
}

export interface HalfReport {
  readonly turn: Vec3;
  /** By itself; and with the feet of its supports. */
  readonly fits: boolean;
  readonly fits_held: boolean;
  readonly size_mm: Vec3;
  /** What it takes of the plate with those feet, and how high it is raised for them. */
  readonly held_mm: readonly [x: number, y: number];
  readonly raise_mm: number;
  readonly volume_ml: number;
  readonly pieces: number;
}

interface MadeHalf {
  readonly fit: Pick<HeldHalf, 'turn' | 'fits' | 'sizeMm' | 'heldMm' | 'raiseMm' | 'fitsHeld'>;
  readonly volumeMm3: number;
  readonly pieces: number;
}

interface MadeSplit {
  readonly plane: {
    readonly rimMm: number;
    readonly shownMm: number;
    readonly lights: readonly LightCut[];
  };
  readonly lights: readonly { readonly name: string; readonly halves: readonly CutSide[] }[];
  readonly cut: { readonly at: Vec3; readonly toward: Vec3; readonly key: { readonly diameter: number } };
  readonly seam: {
    readonly areaMm2: number;
    readonly keys: readonly unknown[];
    readonly refused: readonly { readonly count: number }[];
  };
  readonly back: MadeHalf;
  readonly front: MadeHalf;
}

export function splitProposalReport(proposed: {
  readonly own: Pick<HeldHalf, 'turn' | 'fits' | 'sizeMm'>;
  readonly otherwise: Vec3 | null;
  readonly pieces: number;
  readonly splits: readonly MadeSplit[];
  readonly compared: number;
}): SplitProposalReport {
  const { own, otherwise, pieces, splits, compared } = proposed;
  const reports = splits.map(reportOf);
  return {
    now: { turn: own.turn, fits: own.fits, size_mm: roundVec3(own.sizeMm, 3) },
    whole_fits_turned: own.fits ? null : otherwise,
    splits: reports.map((split) => ({ ...split, why: whyOf(split, reports, pieces) })),
    compared,
  };
}

type Unreasoned = Omit<SplitReport, 'why'>;

function reportOf({ plane, cut, seam, lights, back, front }: MadeSplit): Unreasoned {
  const missing = seam.refused.reduce((sum, { count }) => sum + count, 0);
  return {
    at: cut.at,
    toward: cut.toward,
    fits: back.fit.fits && front.fit.fits,
    fits_held: back.fit.fitsHeld && front.fit.fitsHeld,
    section_mm2: Math.round(seam.areaMm2),
    seam_mm: roundTo(plane.rimMm, 1),
    shown_seam_mm: roundTo(plane.shownMm, 1),
    keys: seam.keys.length,
    keys_wanted: seam.keys.length + missing,
    key_diameter_mm: cut.key.diameter,
    lights: lights.map(({ name, halves }) => {
      const met = plane.lights.find((one) => one.name === name);
      return { light: name, halves, angle_deg: met === undefined ? null : roundTo(met.angleDeg, 1) };
    }),
    halves: { back: halfOf(back), front: halfOf(front) },
  };
}

const halfOf = ({ fit, volumeMm3, pieces }: MadeHalf): HalfReport => ({
  turn: fit.turn,
  fits: fit.fits,
  fits_held: fit.fitsHeld,
  size_mm: roundVec3(fit.sizeMm, 3),
  held_mm: [roundTo(fit.heldMm[0], 3), roundTo(fit.heldMm[1], 3)],
  raise_mm: roundTo(fit.raiseMm, 3),
  volume_ml: roundTo(volumeMm3 / 1000, 3),
  pieces,
});

/** What it is the best at among those told, and what is against it. */
function whyOf(split: Unreasoned, all: readonly Unreasoned[], whole: number): string {
  const smaller = ({ halves: { back, front } }: Unreasoned): number =>
    Math.min(back.volume_ml, front.volume_ml) / (back.volume_ml + front.volume_ml);
  const isLeast = (of: (one: Unreasoned) => number): boolean =>
    all.length > 1 && all.every((other) => other === split || of(other) > of(split));
  const share = Math.round(100 * smaller(split));
  const unheld = (['back', 'front'] as const).filter((side) => !split.halves[side].fits_held);
  const loose = split.halves.back.pieces + split.halves.front.pieces - whole - 1;
  const shown =
    split.shown_seam_mm > 0
      ? `${figure(split.shown_seam_mm, 'mm')} of the seam on the show side`
      : 'no seam on the show side';
  return [
    `section ${figure(split.section_mm2 / 100, 'cm²')}${isLeast((one) => one.section_mm2) ? ', the least' : ''}`,
    shown,
    `halves ${share} : ${100 - share}`,
    keysOf(split),
    ...(split.fits && unheld.length > 0 ? [`no room for supports of ${unheld.join(' and ')}`] : []),
    ...lightsOf(split),
    ...(loose > 0 ? [`${plural(loose, 'piece')} more ${loose === 1 ? 'falls' : 'fall'} off`] : []),
  ].join('; ');
}

/** Told where the builder should look: what the seam runs along, and what it opens. */
function lightsOf({ lights }: Unreasoned): string[] {
  return lights.flatMap(({ light, angle_deg }) => {
    if (angle_deg === null) return [];
    const how = angle_deg < SHALLOW_DEG ? 'runs along' : 'cuts';
    return [`${how} the light ${light} (${figure(angle_deg, '°')})`];
  });
}

function keysOf({ keys, keys_wanted, key_diameter_mm }: Unreasoned): string {
  const wide = `of ${figure(key_diameter_mm, 'mm')}`;
  if (keys === keys_wanted) return `room for ${plural(keys, 'key')} ${wide}`;
  return keys === 0 ? 'no room for keys' : `room for ${keys} of ${plural(keys_wanted, 'key')} ${wide}`;
}

/** The cuts, the best first, with both halves as they would lie. */
export function splitProposalText(part: string, report: SplitProposalReport): string {
  const { now, whole_fits_turned, splits, compared } = report;
  if (now.fits) return `${part}: fits as it is (${sizeText(now.size_mm)}); nothing to cut.`;
  const hint =
    whole_fits_turned === null
      ? []
      : [`  Turned to [${whole_fits_turned.join(', ')}] it fits without a cut: let poses be proposed first.`];
  if (splits.length === 0)
    return [`${part}: no cut was found among ${plural(compared, 'plane')}.`, ...hint].join('\n');
  const lines = splits.flatMap((split, n) => [
    `  ${n + 1}  through [${split.at.join(', ')}] toward [${split.toward.join(', ')}]: ${split.why}`,
    ...(['back', 'front'] as const).map((side) => `     ${side}: ${halfText(split.halves[side])}`),
  ]);
  const still = splits[0]!.fits
    ? []
    : ['  One cut is not enough: write it, then let the half that does not fit be cut in two again.'];
  return [
    `${part}: ${sizeText(now.size_mm)} does not fit; ${plural(splits.length, 'cut')} out of ${plural(compared, 'plane')}`,
    ...hint,
    ...lines,
    ...still,
  ].join('\n');
}

const shortOf = ({ fits, fits_held, held_mm }: Pick<HalfReport, 'fits' | 'fits_held' | 'held_mm'>): string =>
  fits
    ? fits_held
      ? ''
      : `, no room for its supports (${held_mm.map((mm) => mm.toFixed(0)).join(' × ')} mm with their feet)`
    : ', does not fit';

const sizeText = (size: Vec3): string => `${size.map((mm) => mm.toFixed(1)).join(' × ')} mm`;

const halfText = ({ turn, size_mm, volume_ml, pieces, ...half }: HalfReport): string =>
  [
    `${sizeText(size_mm)} turned [${turn.join(', ')}]${shortOf(half)}`,
    ...(half.raise_mm > 0 ? [`raised ${figure(half.raise_mm, 'mm')}`] : []),
    `${figure(volume_ml, 'ml')}`,
    ...(pieces > 1 ? [`${pieces} pieces`] : []),
  ].join(', ');
