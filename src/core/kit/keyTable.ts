import { rodMetalNames } from '../physics/rodMetals.ts';
import { bodyMeasureNames, sexes } from '../scale/bodyMeasures.ts';
import { bodyPieceNames } from '../scale/bodyPieces.ts';

/** What a value may be. Bounds: `above`/`below` exclude their figure, `atLeast`/`atMost` include it. */
export type ValueShape =
  | { readonly shape: 'text'; readonly longest: number }
  /** A scale as `1:4`. */
  | { readonly shape: 'ratio' }
  /** A file inside the kit folder, `/` separated. */
  | { readonly shape: 'file' }
  /** The name of an entry of `resins`. */
  | { readonly shape: 'resin' }
  /** The name of an entry of `parts`. */
  | { readonly shape: 'part' }
  | ({ readonly shape: 'number'; readonly whole?: true } & Bounds)
  /** A number, or this word instead. */
  | ({ readonly shape: 'numberOrWord'; readonly word: string } & Bounds)
  /**
   * A list of that many numbers. `nonzero`: not all of them 0. `orOne`: or a number, which stands for all.
   * `fewer`: from one up to that many; the number then stands for a list of one.
   */
  | ({
      readonly shape: 'numbers';
      readonly length: number;
      readonly nonzero?: true;
      readonly orOne?: true;
      readonly fewer?: true;
    } & Bounds)
  /** Points, at least three: a closed line on the surface. */
  | { readonly shape: 'outline' }
  /** Two points: the ends of a length. */
  | { readonly shape: 'ends' }
  /** Points, from two up to so many: a line through them. */
  | { readonly shape: 'path'; readonly most: number }
  /**
   * A mapping of the keys listed under this path, or one of these words instead, or a list, which then
   * is the value of that one key; a text likewise (`textIs`). `oneOf`, `alsoOneOf`: of these keys exactly one.
   * `orList`: or a list of such mappings, `#` in the paths below.
   */
  | {
      readonly shape: 'map';
      readonly words?: readonly string[];
      readonly listIs?: string;
      readonly textIs?: string;
      readonly oneOf?: readonly string[];
      readonly alsoOneOf?: readonly string[];
      readonly orList?: true;
    }
  /** One of these words. */
  | { readonly shape: 'word'; readonly words: readonly string[] }
  /** A mapping of at most so many names the builder chooses; `*` in the paths below. */
  | { readonly shape: 'named'; readonly most?: number }
  /** A list of at most so many entries, `#` in the paths below; or, within bounds, a whole number instead: how many. */
  | { readonly shape: 'list'; readonly most?: number; readonly orCount?: Bounds };

export interface Bounds {
  readonly above?: number;
  readonly atLeast?: number;
  readonly below?: number;
  readonly atMost?: number;
}

/**
 * One key of the manifest. Validation, defaults and assumptions, the JSON schema, completion and
 * hover all come from this table and nothing else.
 */
export interface KeyEntry {
  /** Dotted; `*` is any name, `#` any index of a list. */
  readonly path: string;
  readonly value: ValueShape;
  readonly unit?: string;
  /** What holds when the key is absent. */
  readonly fallback?: number | string | readonly number[];
  /** Where the default comes from; absent where the default assumes nothing (no turn, one copy). */
  readonly basis?: string;
  /** Must stand when its parent does; there is nothing sensible to assume. */
  readonly required?: true;
  readonly doc: string;
}

const practice = 'common practice, no source';
const choice = 'engineering choice, no source';
const ownMachine = 'the builder’s machine; assumed: one of the 8.9-inch class, from memory';

const anyNumber = { shape: 'number' } as const;
const map = { shape: 'map' } as const;
const named = { shape: 'named' } as const;
const list = { shape: 'list' } as const;

/** Where the length is in the STL, and what it is elsewhere. */
const knownLength = {
  shape: 'map',
  oneOf: ['source', 'between'],
  alsoOneOf: ['subject', 'measure', 'print'],
} as const;

const knownLengthKeys = (path: string): readonly KeyEntry[] => [
  {
    path: `${path}.source`,
    value: { ...anyNumber, above: 0 },
    unit: 'source units',
    doc: 'The length as it is in the STL files.',
  },
  {
    path: `${path}.between`,
    value: { shape: 'ends' },
    unit: 'source units',
    doc: 'Its two ends instead, in the STL’s own coordinates.',
  },
  {
    path: `${path}.subject`,
    value: { ...anyNumber, above: 0 },
    unit: 'mm',
    doc: 'The same length on the full-size subject.',
  },
  {
    path: `${path}.measure`,
    value: { shape: 'word', words: bodyMeasureNames },
    doc: 'The body measure that it is, where the subject’s own is not known: the published mean of adults is taken, with its spread.',
  },
  {
    path: `${path}.sex`,
    value: { shape: 'word', words: sexes },
    doc: 'Of whom the published mean is taken; absent: of as many men as women.',
  },
  {
    path: `${path}.print`,
    value: { ...anyNumber, above: 0 },
    unit: 'mm',
    doc: 'The same length as it is to be printed: the height of the finished figure, say. Needs no `finished`.',
  },
];

const kitKeys: readonly KeyEntry[] = [
  { path: 'kit', value: { shape: 'text', longest: 200 }, doc: 'Name of the kit.' },
  {
    path: 'scale',
    value: map,
    doc: 'How large the kit is printed: a factor, or a finished scale with a length to take it from.',
  },
  {
    path: 'scale.finished',
    value: { shape: 'ratio' },
    doc: 'Scale of the finished figure, as 1:4. With `from` it gives the factor; beside `factor` it is a note.',
  },
  {
    path: 'scale.factor',
    value: { ...anyNumber, above: 0, atMost: 100_000 },
    unit: 'mm per source unit',
    doc: 'Print millimetres per unit of the STL files.',
  },
  {
    path: 'scale.from',
    value: { ...knownLength, orList: true },
    doc: 'A length in the STL files and what it is, from which the factor follows; or a list of several, which are weighed by how well each is known.',
  },
  ...knownLengthKeys('scale.from'),
  { path: 'scale.from.#', value: knownLength, doc: 'A length in the STL files and what it is.' },
  ...knownLengthKeys('scale.from.#'),
  {
    path: 'scale.picking',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 'mm',
    fallback: 0.5,
    basis: choice,
    doc: 'How well each end of a length is known, in print mm, as one standard deviation.',
  },
  {
    path: 'scale.stylised',
    value: { shape: 'word', words: ['yes', 'no'] },
    doc: 'Yes: the figure has proportions of its own, so nothing is held against published bodies.',
  },
];

const machineKeys: readonly KeyEntry[] = [
  { path: 'machine', value: map, doc: 'The machine the kit is printed on.' },
  {
    path: 'machine.plate',
    value: { shape: 'numbers', length: 2, above: 0, atMost: 5000 },
    unit: 'mm',
    fallback: [192, 120],
    basis: ownMachine,
    doc: 'Size of the plate in x and y.',
  },
  {
    path: 'machine.height',
    value: { ...anyNumber, above: 0, atMost: 5000 },
    unit: 'mm',
    fallback: 200,
    basis: ownMachine,
    doc: 'Greatest height of a print above the plate.',
  },
  {
    path: 'machine.layer',
    value: { ...anyNumber, atLeast: 0.005, atMost: 1 },
    unit: 'mm',
    fallback: 0.05,
    basis: practice,
    doc: 'Height of one layer.',
  },
  {
    path: 'machine.margin',
    value: { ...anyNumber, atLeast: 0, atMost: 1000 },
    unit: 'mm',
    fallback: 2,
    basis: practice,
    doc: 'Width kept free at each edge of the plate.',
  },
  {
    path: 'machine.vat',
    value: { ...anyNumber, above: 0, atMost: 1_000_000 },
    unit: 'ml',
    fallback: 350,
    basis: ownMachine,
    doc: 'Resin in the vat when it is full.',
  },
  {
    path: 'machine.resin-depth',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 'mm',
    fallback: 15,
    basis: ownMachine,
    doc: 'Depth of resin above the film when the vat is full.',
  },
  {
    path: 'machine.least-resin-depth',
    value: { ...anyNumber, atLeast: 0, atMost: 1000 },
    unit: 'mm',
    fallback: 4,
    basis: choice,
    doc: 'Depth of resin above the film under which printing is not safe.',
  },
  { path: 'machine.lift', value: map, doc: 'Motion that parts a layer from the film.' },
  {
    path: 'machine.lift.distance',
    value: { ...anyNumber, above: 0, atMost: 200 },
    unit: 'mm',
    fallback: 7,
    basis: practice,
    doc: 'How far the plate is lifted (in its first stage).',
  },
  {
    path: 'machine.lift.up',
    value: { ...anyNumber, atLeast: 0.1, atMost: 10_000 },
    unit: 'mm/min',
    fallback: 60,
    basis: practice,
    doc: 'Speed of the lift (in its first stage). Suction grows with it.',
  },
  {
    path: 'machine.lift.down',
    value: { ...anyNumber, atLeast: 0.1, atMost: 10_000 },
    unit: 'mm/min',
    fallback: 150,
    basis: practice,
    doc: 'Speed of the way back (in its first stage).',
  },
  {
    path: 'machine.lift.wait',
    value: { ...anyNumber, atLeast: 0, atMost: 600 },
    unit: 's',
    fallback: 1,
    basis: practice,
    doc: 'All waits of one layer together: before and after the lift and before the light.',
  },
  { path: 'machine.lift.second', value: map, doc: 'Second stage of the motion, after the first distance.' },
  {
    path: 'machine.lift.second.distance',
    value: { ...anyNumber, above: 0, atMost: 200 },
    unit: 'mm',
    required: true,
    doc: 'How much further the plate is lifted.',
  },
  {
    path: 'machine.lift.second.up',
    value: { ...anyNumber, atLeast: 0.1, atMost: 10_000 },
    unit: 'mm/min',
    required: true,
    doc: 'Speed of the second stage upward.',
  },
  {
    path: 'machine.lift.second.down',
    value: { ...anyNumber, atLeast: 0.1, atMost: 10_000 },
    unit: 'mm/min',
    required: true,
    doc: 'Speed of the second stage on the way back.',
  },
  { path: 'machine.exposure', value: map, doc: 'Times the light is on.' },
  {
    path: 'machine.exposure.base',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 's',
    fallback: 25,
    basis: practice,
    doc: 'Exposure of each base layer.',
  },
  {
    path: 'machine.exposure.base-layers',
    value: { ...anyNumber, whole: true, atLeast: 0, atMost: 1000 },
    unit: 'layers',
    fallback: 5,
    basis: practice,
    doc: 'How many layers at the plate get the base exposure.',
  },
  {
    path: 'machine.exposure.normal',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 's',
    fallback: 2.5,
    basis: practice,
    doc: 'Exposure of every other layer.',
  },
  {
    path: 'machine.attended',
    value: { shape: 'numbers', length: 2, atLeast: 0, atMost: 24 },
    unit: 'h',
    fallback: [8, 22],
    basis: choice,
    doc: 'Hours of the day between which somebody is at the machine: prints start then, and the schedule tries to end and top up then. `[22, 6]` runs over midnight.',
  },
  {
    path: 'machine.changeover',
    value: { ...anyNumber, atLeast: 0, atMost: 1440 },
    unit: 'min',
    fallback: 45,
    basis: practice,
    doc: 'From the end of a print to the start of the next: taking it off, filtering, filling the vat.',
  },
  { path: 'film', value: map, doc: 'The film at the bottom of the vat.' },
  {
    path: 'film.peel',
    value: { ...anyNumber, above: 0, atMost: 101.325 },
    unit: 'kPa',
    fallback: 10,
    basis: 'from memory: 5 to 50 kPa for filled areas; calibrate it on layers without cups',
    doc: 'Pull per solid area as a layer parts from the film. No dependable published figure exists: measure your own.',
  },
];

const lightLimitKeys: readonly KeyEntry[] = [
  {
    path: 'limits.light-gap',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm',
    fallback: 1,
    basis: choice,
    doc: 'How far a light may run outside of its parts, where one ends and the next begins.',
  },
  {
    path: 'limits.led-drop',
    value: { ...anyNumber, above: 0, below: 100 },
    unit: '% of the supply',
    fallback: 5,
    basis: 'NEC 210.19(A), informational note: 5 % in feeder and branch together; from memory',
    doc: 'Voltage that the wires of a light may lose.',
  },
  {
    path: 'limits.led-heat',
    value: { ...anyNumber, above: 0 },
    unit: 'W',
    fallback: 1,
    basis: choice,
    doc: 'Heat of the LEDs of one light that a closed part of cured resin may be left with.',
  },
];

const weight = (concern: string, fallback: number, doc: string): KeyEntry => ({
  path: `pose.${concern}`,
  value: { ...anyNumber, atLeast: 0, atMost: 100 },
  fallback,
  doc,
});

const poseKeys: readonly KeyEntry[] = [
  {
    path: 'pose',
    value: map,
    doc: 'What weighs when poses are proposed: 0 leaves a concern out, 2 doubles it.',
  },
  weight('show', 3, 'Weight of overhang on the show side: supports leave their marks there.'),
  weight('overhang', 1, 'Weight of surface that does not carry itself and wants supports.'),
  weight('islands', 1, 'Weight of regions that start in mid-air.'),
  weight('pull', 1, 'Weight of the pull of the largest layer.'),
  weight('jumps', 1, 'Weight of the greatest rise of the pull from one millimetre to the next.'),
  weight('cups', 1, 'Weight of hollows that start closed and want a vent each.'),
  weight('floors', 2, 'Weight of a flat floor of a hollow, which no vent helps.'),
  weight(
    'openings',
    1,
    'Weight of how far vents lie above the plate end of their hollow, and drains below its film end.',
  ),
  weight('height', 1, 'Weight of height, and so of hours.'),
];

const resinKeys: readonly KeyEntry[] = [
  { path: 'resins', value: named, doc: 'The resins of this kit, by a name of your own.' },
  { path: 'resins.*', value: map, doc: 'One resin.' },
  {
    path: 'resins.*.density',
    value: { ...anyNumber, above: 0.5, below: 5 },
    unit: 'g/ml',
    fallback: 1.18,
    basis: 'from memory: 1.10 to 1.25 g/ml',
    doc: 'Density of the cured resin; gives the mass of a part.',
  },
  {
    path: 'resins.*.liquid-density',
    value: { ...anyNumber, above: 0.5, below: 5 },
    unit: 'g/ml',
    fallback: 1.1,
    basis: 'from memory: 1.05 to 1.15 g/ml',
    doc: 'Density of the liquid resin; with the cured density it gives the ml taken from the bottle.',
  },
  {
    path: 'resins.*.viscosity',
    value: { ...anyNumber, above: 0, atMost: 100_000 },
    unit: 'mPa·s',
    fallback: 300,
    basis: 'from memory: 100 to 500 mPa·s are most common; falls strongly with warmth',
    doc: 'Viscosity of the liquid resin at the temperature it is printed at.',
  },
  {
    path: 'resins.*.surface-tension',
    value: { ...anyNumber, above: 0, atMost: 100 },
    unit: 'mN/m',
    fallback: 35,
    basis: 'from memory: 30 to 40 mN/m',
    doc: 'Surface tension of the liquid resin; decides what a small hole holds back.',
  },
  {
    path: 'resins.*.green-strength',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 'MPa',
    fallback: 15,
    basis: 'engineering choice, already discounted; 25 to 35 MPa in a training slide of low authority',
    doc: 'Tensile strength as printed, before the final cure.',
  },
  {
    path: 'resins.*.green-modulus',
    value: { ...anyNumber, above: 0, atMost: 100_000 },
    unit: 'MPa',
    fallback: 800,
    basis: 'engineering choice below the 774 to 965 MPa of Oliveira et al. 2025, Appl. Mech. 6(3) 71',
    doc: 'Stiffness as printed, before the final cure.',
  },
  {
    path: 'resins.*.shrinkage',
    value: { shape: 'numbers', length: 3, orOne: true, atLeast: 0, below: 20 },
    unit: '%',
    doc: 'By how much lengths come out shorter, cured: one figure, or one each along the plate’s x, along its y and upright. Ready files are drawn larger by it. `kitwright coupon` finds it out.',
  },
  {
    path: 'resins.*.spread',
    value: { ...anyNumber, atLeast: 0, atMost: 2 },
    unit: 'mm',
    doc: 'By how much the outline of the base layers (`machine.exposure.base-layers`) grows outward all round. Ready files of what stands on the plate are drawn narrower there.',
  },
  {
    path: 'resins.*.bore-loss',
    value: { ...anyNumber, atLeast: 0, atMost: 2 },
    unit: 'mm',
    doc: 'By how much bores come out narrower than drawn, across, from stray light; shrinkage left out. Ready files have them wider by it.',
  },
  {
    path: 'resins.*.on-hand',
    value: { shape: 'numbers', length: 50, fewer: true, orOne: true, atLeast: 0 },
    unit: 'ml',
    doc: 'Liquid resin in the bottles: all of it, or a list of what is in each, `[1000, 500]`, in the order in which they are opened.',
  },
  {
    path: 'resins.*.price',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'per litre',
    doc: 'Price of a litre, in your currency.',
  },
  {
    path: 'resins.*.waste',
    value: { ...anyNumber, atLeast: 0, atMost: 200 },
    unit: '% of the liquid',
    fallback: 10,
    basis: practice,
    doc: 'What a print costs besides: resin that stays on plate and part, in the filter and in the wash, and supports of the slicer.',
  },
];

const wall: ValueShape = { shape: 'numberOrWord', word: 'solid', atLeast: 0.2, atMost: 100 };

const defaultKeys: readonly KeyEntry[] = [
  { path: 'defaults', value: map, doc: 'What holds for every part that does not say otherwise.' },
  {
    path: 'defaults.wall',
    value: wall,
    unit: 'mm',
    fallback: 1.5,
    basis: practice,
    doc: 'Wall of hollow parts, or `solid`. Large parts use 1 to 3 mm.',
  },
  { path: 'defaults.resin', value: { shape: 'resin' }, doc: 'Resin of the parts.' },
];

const limitKeys: readonly KeyEntry[] = [
  { path: 'limits', value: map, doc: 'Thresholds of the findings.' },
  {
    path: 'limits.pull',
    value: { ...anyNumber, above: 0 },
    unit: 'N',
    fallback: 100,
    basis: choice,
    doc: 'Greatest pull on one layer: peel of its solid area and suction of its cups.',
  },
  {
    path: 'limits.suction',
    value: { ...anyNumber, above: 0 },
    unit: 'N',
    fallback: 20,
    basis: choice,
    doc: 'Suction of one cup under which it counts as breathing.',
  },
  {
    path: 'limits.sealed-layers',
    value: { ...anyNumber, whole: true, atLeast: 0 },
    unit: 'layers',
    fallback: 10,
    basis: practice,
    doc: 'How many layers a cup may stay sealed.',
  },
  {
    path: 'limits.breathe-layers',
    value: { ...anyNumber, whole: true, atLeast: 0 },
    unit: 'layers',
    fallback: 10,
    basis: practice,
    doc: 'For how many layers a limb of a cup may pull above `suction` before it stays under it.',
  },
  {
    path: 'limits.least-cup',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm²',
    fallback: 10,
    basis: 'engineering choice: the atmosphere pulls with 1 N at most on 10 mm²',
    doc: 'Cups that never grow wider than this are not told as findings.',
  },
  {
    path: 'limits.least-wall',
    value: { ...anyNumber, atLeast: 0.05, atMost: 5 },
    unit: 'mm',
    fallback: 0.6,
    basis: 'two print bureaus’ SLA guides: 0.6 mm for a wall without support, 0.4 mm with',
    doc: 'Solid thinner than this is told: walls, sheets of the sculpt, webs and spikes in the hollow.',
  },
  {
    path: 'limits.wall-flex',
    value: { ...anyNumber, above: 0 },
    unit: 'mm',
    fallback: 1,
    basis: choice,
    doc: 'How far a wall may bend under suction or peel as it is printed.',
  },
  {
    path: 'limits.lump',
    value: { ...anyNumber, above: 0 },
    unit: 'mm',
    fallback: 10,
    basis: choice,
    doc: 'Thickness of solid in a hollow part, where a small hollow was left solid, from which on it is told.',
  },
  {
    path: 'limits.least-chamber',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'ml',
    fallback: 0.5,
    basis: choice,
    doc: 'Hollows smaller than this stay solid.',
  },
  {
    path: 'limits.trapped',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'ml',
    fallback: 5,
    basis: choice,
    doc: 'Liquid that may stay in a chamber while the part hangs from the plate.',
  },
  {
    path: 'limits.ceiling',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm²',
    fallback: 150,
    basis: choice,
    doc: 'Area of one layer that may close over void at once.',
  },
  {
    path: 'limits.ceiling-span',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm',
    fallback: 10,
    basis: 'engineering choice between the 1 mm overhang and 21 mm bridge of a print bureau’s SLA guide',
    doc: 'Free span that goes with `ceiling`: both must be passed.',
  },
  {
    path: 'limits.self-support',
    value: { ...anyNumber, above: 0, below: 90 },
    unit: '° from the plate',
    fallback: 30,
    basis: 'common practice, no source: 30° to 45°; print bureaus give 19° for laser machines',
    doc: 'Slope that prints without support.',
  },
  {
    path: 'limits.area-jump',
    value: { ...anyNumber, above: 1 },
    unit: '× the layer below',
    fallback: 1.5,
    basis: choice,
    doc: 'Ratio of the area of a layer to the one below that counts as a jump.',
  },
  {
    path: 'limits.area-jump-mm2',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm²',
    fallback: 500,
    basis: choice,
    doc: 'Growth that goes with `area-jump`: both must be passed.',
  },
  {
    path: 'limits.island',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'mm²',
    fallback: 0.1,
    basis: choice,
    doc: 'Regions starting in air that are smaller than this are not told as findings.',
  },
  {
    path: 'limits.left',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'ml',
    fallback: 2,
    basis: choice,
    doc: 'Liquid that may stay in a chamber in the attitude in which it empties best.',
  },
  {
    path: 'limits.lamp',
    value: { ...anyNumber, above: 0, atMost: 100 },
    unit: 'mm',
    fallback: 6,
    basis: 'engineering choice: a 5 mm light on its leads, with a little play',
    doc: 'Diameter of the lamp that cures inside. Through a wider opening it goes in, through a narrower one it shines in from outside.',
  },
  {
    path: 'limits.lamp-reach',
    value: { ...anyNumber, above: 0, atMost: 2000 },
    unit: 'mm',
    fallback: 120,
    basis: choice,
    doc: 'How far from an opening the lamp still cures.',
  },
  {
    path: 'limits.unlit',
    value: { ...anyNumber, atLeast: 0, atMost: 100 },
    unit: '%',
    fallback: 15,
    basis: choice,
    doc: 'Share of a chamber that may lie out of the lamp’s sight.',
  },
  {
    path: 'limits.rinse-way',
    value: { ...anyNumber, above: 0, atMost: 50 },
    unit: 'mm',
    fallback: 3,
    basis: choice,
    doc: 'Diameter of the narrowest way, openings included, through which a rinse flows well.',
  },
  {
    path: 'limits.rinse-reach',
    value: { ...anyNumber, above: 0, atMost: 5000 },
    unit: 'mm',
    fallback: 200,
    basis: choice,
    doc: 'Length of the way from an opening as far as a rinse gets.',
  },
  {
    path: 'limits.unrinsed',
    value: { ...anyNumber, atLeast: 0 },
    unit: 'ml',
    fallback: 3,
    basis: choice,
    doc: 'Part of a chamber that may lie beyond the reach of a rinse.',
  },
  {
    path: 'limits.joint-reach',
    value: { ...anyNumber, above: 0, atMost: 10 },
    unit: 'mm',
    fallback: 1,
    basis: choice,
    doc: 'Faces of two parts that look at each other within this distance, as the sculptor put the parts together, are a joint.',
  },
  {
    path: 'limits.joint-tight',
    value: { ...anyNumber, atLeast: 0, atMost: 5 },
    unit: 'mm',
    fallback: 0.1,
    basis: 'common practice, no source: 0.1 to 0.2 mm on each side of a key',
    doc: 'Least gap on each side where the faces of a joint slide past each other.',
  },
  {
    path: 'limits.joint-loose',
    value: { ...anyNumber, above: 0, atMost: 10 },
    unit: 'mm',
    fallback: 0.4,
    basis: 'common practice, no source: up to 0.3 mm on each side where parts are painted or large',
    doc: 'Greatest gap that half of a joint’s faces may have before it is loose.',
  },
  {
    path: 'limits.possible-shrinkage',
    value: { ...anyNumber, atLeast: 0, atMost: 10 },
    unit: '%',
    fallback: 0.5,
    basis:
      'common practice, no source: prints of uncalibrated resins come out some tenths of a percent short',
    doc: 'By how much lengths may come out shorter of a resin without `shrinkage`. Nothing is drawn larger by it; it tells what joints of parts in different poses may lose (`joint-may-bind`).',
  },
  {
    path: 'limits.possible-spread',
    value: { ...anyNumber, atLeast: 0, atMost: 2 },
    unit: 'mm',
    fallback: 0.1,
    basis: 'common practice, no source: base layers come out 0.1 mm wider or so all round',
    doc: 'By how much base layers may spread of a resin without `spread`. Nothing is drawn narrower by it; it tells what joints that stand on the plate may lose (`joint-may-bind`).',
  },
  {
    path: 'limits.joint-clash',
    value: { ...anyNumber, atLeast: 0.01, atMost: 10 },
    unit: 'mm',
    fallback: 0.05,
    basis: choice,
    doc: 'How deep one part may lie in another, as the sculptor put them together, before it is told.',
  },
  {
    path: 'limits.tip-angle',
    value: { ...anyNumber, atLeast: 0, below: 90 },
    unit: '°',
    fallback: 10,
    basis: 'from memory: household appliances must stand on a plane tilted by 10° (IEC 60335-1, clause 20)',
    doc: 'How far what the figure stands on may be tilted before it falls over.',
  },
  {
    path: 'limits.triangles',
    value: { ...anyNumber, whole: true, atLeast: 4, atMost: 100_000_000 },
    unit: 'triangles',
    fallback: 20_000_000,
    basis: choice,
    doc: 'Largest STL that is read.',
  },
];

/** Of the whole kit under `stoppers`, of one opening under its `stopper`. */
const stopperKeys = (path: string, fallbacks: boolean): readonly KeyEntry[] => [
  {
    path: `${path}.clearance`,
    value: { ...anyNumber, atLeast: 0, atMost: 5 },
    unit: 'mm',
    ...(fallbacks && { fallback: 0.15, basis: practice }),
    doc: 'Gap between stopper and bore, all round at the surface.',
  },
  {
    path: `${path}.taper`,
    value: { ...anyNumber, atLeast: 0, atMost: 30 },
    unit: '°',
    ...(fallbacks && { fallback: 2, basis: choice }),
    doc: 'How far the stopper’s side leans inward of the bore’s, so that it slides in and its foot, which prints a little wide, stays clear.',
  },
  {
    path: `${path}.lip`,
    value: { ...anyNumber, atLeast: 0, atMost: 50 },
    unit: 'mm',
    ...(fallbacks && { fallback: 0, basis: choice }),
    doc: 'How far the stopper reaches beyond the wall into the chamber, where glue can hold it. It is no wider there than the bore.',
  },
];

const kitStopperKeys: readonly KeyEntry[] = [
  {
    path: 'stoppers',
    value: { shape: 'map', words: ['yes', 'no'] },
    doc: 'Closing pieces for vents and drains, written by make ready beside the part; or `no`: none but those that an opening asks for.',
  },
  ...stopperKeys('stoppers', true),
];

/** Of the whole kit under `supports`, of one part under its own. */
const supportKeys = (path: string, fallbacks: boolean): readonly KeyEntry[] => {
  const key = (
    name: string,
    bounds: Bounds,
    unit: string,
    fallback: number,
    basis: string,
    doc: string,
  ): KeyEntry => ({
    path: `${path}.${name}`,
    value: { ...anyNumber, ...bounds },
    ...(unit !== '' && { unit }),
    ...(fallbacks && { fallback, basis }),
    doc,
  });
  return [
    key(
      'tip',
      { atLeast: 0.1, atMost: 5 },
      'mm',
      0.4,
      practice,
      'Least width of a tip where it touches the part.',
    ),
    key(
      'widest-tip',
      { atLeast: 0.1, atMost: 10 },
      'mm',
      1.2,
      choice,
      'Greatest width of a tip: a wider one leaves too much of a mark.',
    ),
    key(
      'spacing',
      { atLeast: 0.5, atMost: 50 },
      'mm',
      4,
      practice,
      'How far tips stand from each other under an overhang, about. Nearer where so many would not hold.',
    ),
    key(
      'strut',
      { atLeast: 0.3, atMost: 4 },
      'mm',
      1,
      practice,
      'Least width of a strut. Wider where it would buckle.',
    ),
    key(
      'plate-hold',
      { above: 0, atMost: 10_000 },
      'kPa',
      100,
      `${choice}; measure your own`,
      'Pull per area at which the plate lets go of what is printed on it.',
    ),
    key(
      'safety',
      { atLeast: 1, atMost: 10 },
      '',
      1,
      'the default green strength is discounted already; 2 beside a measured one',
      'How many times its load every tip and the plate must be able to take.',
    ),
    key(
      'raft',
      { atLeast: 0.2, atMost: 10 },
      'mm',
      1.2,
      practice,
      'Thickness of the raft: a foot under each strut, joined where they are near.',
    ),
    key(
      'raft-lean',
      { atLeast: 0, atMost: 60 },
      '°',
      45,
      practice,
      'How far the raft’s edge leans outward from upright, so that a scraper gets under it.',
    ),
  ];
};

const handSupportKeys: readonly KeyEntry[] = [
  {
    path: 'parts.*.supports.by-hand',
    value: { shape: 'list', most: 2000 },
    doc: 'Supports that you have placed yourself. They stand whatever is planned, and planned ones keep their distance.',
  },
  { path: 'parts.*.supports.by-hand.#', value: map, doc: 'One support.' },
  {
    path: 'parts.*.supports.by-hand.#.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Where its tip touches the part from below, in the STL’s own coordinates; the underside within 2 mm in print is meant.',
  },
  {
    path: 'parts.*.supports.by-hand.#.tip',
    value: { ...anyNumber, atLeast: 0.1, atMost: 10 },
    unit: 'mm',
    doc: 'Least width of its tip. Wider where the pull asks for it. Absent: `supports.tip`.',
  },
  {
    path: 'parts.*.supports.keep-free',
    value: { shape: 'list', most: 2000 },
    doc: 'Balls in which no planned support touches the part. Those placed by hand may.',
  },
  { path: 'parts.*.supports.keep-free.#', value: map, doc: 'One ball.' },
  {
    path: 'parts.*.supports.keep-free.#.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Middle of the ball in the STL’s own coordinates.',
  },
  {
    path: 'parts.*.supports.keep-free.#.radius',
    value: { ...anyNumber, above: 0, atMost: 5000 },
    unit: 'mm',
    required: true,
    doc: 'Radius of the ball in print; it does not scale with the figure.',
  },
];

const supportWords = ['planned', 'none'];

const kitSupportKeys: readonly KeyEntry[] = [
  {
    path: 'supports',
    value: { shape: 'map', words: supportWords },
    doc: 'How parts are held while they print: `planned` for all of them, or the settings for those that say so. Absent: by the slicer.',
  },
  ...supportKeys('supports', true),
];

const cutKeys: readonly KeyEntry[] = [
  {
    path: 'cuts',
    value: named,
    doc: 'Planes at which parts are cut in two, by a name of your own. A part says under `cut` which half it is.',
  },
  { path: 'cuts.*', value: map, doc: 'One planned cut.' },
  {
    path: 'cuts.*.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'A point of the plane, in the STL’s own coordinates.',
  },
  {
    path: 'cuts.*.toward',
    value: { shape: 'numbers', length: 3, nonzero: true },
    required: true,
    doc: 'Direction square to the plane, in source axes. The front half lies there, the back half behind.',
  },
  {
    path: 'cuts.*.keys',
    value: { shape: 'list', most: 20, orCount: { atLeast: 0, atMost: 20 } },
    fallback: 2,
    basis: practice,
    doc: 'How many keys hold the halves in place: plugs on the back half, sockets in the front one. They stand where there is most room, far from each other. Or a list of places.',
  },
  { path: 'cuts.*.keys.#', value: map, doc: 'One key at a place of your own.' },
  {
    path: 'cuts.*.keys.#.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Where it stands, in the STL’s own coordinates; taken square to the plane.',
  },
  {
    path: 'cuts.*.keys.#.diameter',
    value: { ...anyNumber, atLeast: 1, atMost: 200 },
    unit: 'mm',
    doc: 'Its diameter in print. Absent: that of `key`.',
  },
  { path: 'cuts.*.key', value: map, doc: 'Size of the keys in print; it does not scale with the figure.' },
  {
    path: 'cuts.*.key.diameter',
    value: { ...anyNumber, atLeast: 1, atMost: 200 },
    unit: 'mm',
    fallback: 6,
    basis: practice,
    doc: 'Diameter of the plug where it stands.',
  },
  {
    path: 'cuts.*.key.length',
    value: { ...anyNumber, atLeast: 0.5, atMost: 200 },
    unit: 'mm',
    fallback: 8,
    basis: practice,
    doc: 'How far the plug reaches. The socket is deeper by the clearance.',
  },
  {
    path: 'cuts.*.key.taper',
    value: { ...anyNumber, atLeast: 0, atMost: 30 },
    unit: '°',
    fallback: 2,
    basis: choice,
    doc: 'How far the plug’s side leans inward, so that it finds its way in. Its end is a quarter as wide as its foot or wider.',
  },
  {
    path: 'cuts.*.key.wall',
    value: { ...anyNumber, atLeast: 0.2, atMost: 100 },
    unit: 'mm',
    fallback: 1.5,
    basis: practice,
    doc: 'Solid that must stand between a socket and the outside of the part.',
  },
  {
    path: 'cuts.*.clearance',
    value: { ...anyNumber, atLeast: 0, atMost: 5 },
    unit: 'mm',
    fallback: 0.15,
    basis: practice,
    doc: 'Gap round each plug, at its side and at its end.',
  },
  {
    path: 'cuts.*.passages',
    value: { shape: 'list', most: 20 },
    doc: 'Holes through the seam from hollow to hollow, the same in both halves: for air and resin while they are printed and washed, for wires afterwards. Nobody sees them once the halves are joined. Keys keep clear of them.',
  },
  { path: 'cuts.*.passages.#', value: map, doc: 'One hole through the seam.' },
  {
    path: 'cuts.*.passages.#.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Where it is, in the STL’s own coordinates; taken square to the plane.',
  },
  {
    path: 'cuts.*.passages.#.diameter',
    value: { ...anyNumber, atLeast: 0.2, atMost: 300 },
    unit: 'mm',
    required: true,
    doc: 'Its diameter in print.',
  },
  {
    path: 'cuts.*.passages.#.depth',
    value: { ...anyNumber, above: 0, atMost: 2000 },
    unit: 'mm',
    doc: 'How deep it is drilled into either half. Absent: through the wall and 2.5 mm more.',
  },
];

const plateKeys: readonly KeyEntry[] = [
  { path: 'plates', value: named, doc: 'Several parts printed on one plate, by a name of your own.' },
  { path: 'plates.*', value: map, doc: 'One plate.' },
  {
    path: 'plates.*.parts',
    value: { shape: 'list', most: 100 },
    required: true,
    doc: 'The parts that stand on it, each once and as sculpted: names, arranged by themselves, or mappings with a place.',
  },
  {
    path: 'plates.*.parts.#',
    value: { shape: 'map', textIs: 'part' },
    doc: 'One part on the plate: its name, or its name with a place.',
  },
  {
    path: 'plates.*.parts.#.part',
    value: { shape: 'part' },
    required: true,
    doc: 'Name of the part.',
  },
  {
    path: 'plates.*.parts.#.at',
    value: { shape: 'numbers', length: 2, atLeast: -5000, atMost: 5000 },
    unit: 'mm',
    doc: 'Where the middle of the part’s bounding box, as posed, stands: x and y from the plate’s middle. Absent: wherever there is room.',
  },
  {
    path: 'plates.*.parts.#.spin',
    value: { ...anyNumber, atLeast: -360, atMost: 360 },
    unit: '°',
    doc: 'Turn about z round that middle, after the part’s own `turn`. Absent: 0 with `at`, else as it fits best.',
  },
  {
    path: 'plates.*.gap',
    value: { ...anyNumber, atLeast: 0, atMost: 200 },
    unit: 'mm',
    fallback: 3,
    basis: practice,
    doc: 'Least distance between parts on the plate, supports and raft included.',
  },
];

const lightKeys: readonly KeyEntry[] = [
  {
    path: 'lights',
    value: { ...named, most: 50 },
    doc: 'Tubes for wires or fibres through one or more parts, by a name of your own.',
  },
  { path: 'lights.*', value: map, doc: 'One tube, and what lies in it.' },
  {
    path: 'lights.*.path',
    value: { shape: 'path', most: 50 },
    unit: 'source units',
    required: true,
    doc: 'Points that its middle line passes on a smooth curve, in the STL’s own coordinates: two at least. The first and last should lie outside, or where the lamp sits.',
  },
  {
    path: 'lights.*.diameter',
    value: { ...anyNumber, atLeast: 0.5, atMost: 100 },
    unit: 'mm',
    required: true,
    doc: 'Diameter of the tube in print; it does not scale with the figure.',
  },
  {
    path: 'lights.*.lining',
    value: { ...anyNumber, atLeast: 0.4, atMost: 50 },
    unit: 'mm',
    fallback: 1.2,
    basis: practice,
    doc: 'Solid that stands round the tube inside a hollow, so that it stays sealed, and that must be left between tube and skin.',
  },
  {
    path: 'lights.*.through',
    value: { shape: 'list', most: 50 },
    required: true,
    doc: 'The parts that it is cut through, from its first end to its last.',
  },
  { path: 'lights.*.through.#', value: { shape: 'part' }, doc: 'Name of a part.' },
  {
    path: 'lights.*.carries',
    value: { shape: 'map', oneOf: ['fibre', 'cable'] },
    doc: 'What lies in it, by its outer diameter.',
  },
  {
    path: 'lights.*.carries.fibre',
    value: { ...anyNumber, above: 0, atMost: 100 },
    unit: 'mm',
    doc: 'Outer diameter of a light fibre. It may bend to 15 diameters unless `bend-radius` says otherwise.',
  },
  {
    path: 'lights.*.carries.cable',
    value: { ...anyNumber, above: 0, atMost: 100 },
    unit: 'mm',
    doc: 'Outer diameter of a cable or wire over its insulation. It may bend to 5 diameters unless `bend-radius` says otherwise.',
  },
  {
    path: 'lights.*.carries.count',
    value: { ...anyNumber, whole: true, atLeast: 1, atMost: 1000 },
    fallback: 1,
    doc: 'How many of them lie side by side.',
  },
  {
    path: 'lights.*.carries.bend-radius',
    value: { ...anyNumber, above: 0, atMost: 10_000 },
    unit: 'mm',
    doc: 'Least radius at the inside of a bend, by the data sheet.',
  },
  {
    path: 'lights.*.connector',
    value: { ...anyNumber, above: 0, atMost: 200 },
    unit: 'mm',
    doc: 'Widest measure across of the connector that must be threaded through.',
  },
  {
    path: 'lights.*.leds',
    value: { shape: 'map', oneOf: ['gauge', 'section'] },
    doc: 'LEDs side by side at the end of one pair of wires, each with a resistor or driver of its own.',
  },
  {
    path: 'lights.*.leds.count',
    value: { ...anyNumber, whole: true, atLeast: 1, atMost: 10_000 },
    required: true,
    doc: 'How many LEDs.',
  },
  {
    path: 'lights.*.leds.current',
    value: { ...anyNumber, above: 0, atMost: 100_000 },
    unit: 'mA',
    required: true,
    doc: 'Current of each.',
  },
  {
    path: 'lights.*.leds.forward',
    value: { ...anyNumber, above: 0, atMost: 60 },
    unit: 'V',
    required: true,
    doc: 'Forward voltage of each at that current, by its data sheet.',
  },
  {
    path: 'lights.*.leds.supply',
    value: { ...anyNumber, above: 0, atMost: 60 },
    unit: 'V',
    required: true,
    doc: 'Direct voltage of the supply: extra-low voltage only.',
  },
  {
    path: 'lights.*.leds.gauge',
    value: { ...anyNumber, whole: true, atLeast: 0, atMost: 40 },
    unit: 'AWG',
    doc: 'Gauge of the copper wire.',
  },
  {
    path: 'lights.*.leds.section',
    value: { ...anyNumber, above: 0.001, atMost: 100 },
    unit: 'mm²',
    doc: 'Or its section.',
  },
  {
    path: 'lights.*.leds.length',
    value: { ...anyNumber, above: 0, atMost: 1000 },
    unit: 'm',
    required: true,
    doc: 'Length of wire from the supply to the LEDs, one way.',
  },
  {
    path: 'lights.*.leds.size',
    value: { ...anyNumber, above: 0, atMost: 200 },
    unit: 'mm',
    doc: 'Widest measure across of the LED, which must come through the tube.',
  },
];

const openingKeys = (name: string, doc: string): readonly KeyEntry[] => [
  { path: `parts.*.${name}`, value: list, doc },
  { path: `parts.*.${name}.#`, value: map, doc: 'One opening.' },
  {
    path: `parts.*.${name}.#.at`,
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Centre of the mouth in the STL’s own coordinates, on the surface or within 2 mm of it in print.',
  },
  {
    path: `parts.*.${name}.#.diameter`,
    value: { ...anyNumber, atLeast: 0.2, atMost: 300 },
    unit: 'mm',
    required: true,
    doc: 'Diameter in print; it does not scale with the figure.',
  },
  {
    path: `parts.*.${name}.#.depth`,
    value: { ...anyNumber, above: 0, atMost: 2000 },
    unit: 'mm',
    doc: 'Drilled depth from the mouth, in print. Absent: through the wall along its direction, and 2.5 mm.',
  },
  {
    path: `parts.*.${name}.#.toward`,
    value: { shape: 'numbers', length: 3, nonzero: true },
    doc: 'Direction into the part, in source axes. Absent: against the mean normal over the mouth.',
  },
  {
    path: `parts.*.${name}.#.stopper`,
    value: { shape: 'map', words: ['yes', 'no'] },
    doc: 'Its closing piece: how it differs from `stoppers`, or `yes` or `no`. Absent: vents and drains get one, tubes none.',
  },
  ...stopperKeys(`parts.*.${name}.#.stopper`, false),
];

const keepSolidKeys: readonly KeyEntry[] = [
  {
    path: 'parts.*.keep-solid',
    value: { shape: 'list', most: 100 },
    doc: 'Regions that the hollow leaves solid, so that joints and pins have meat: balls and boxes.',
  },
  {
    path: 'parts.*.keep-solid.#',
    value: { shape: 'map', oneOf: ['radius', 'size'] },
    doc: 'One region: a ball by its `radius`, or a box by its `size`.',
  },
  {
    path: 'parts.*.keep-solid.#.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    required: true,
    doc: 'Middle of the region in the STL’s own coordinates.',
  },
  {
    path: 'parts.*.keep-solid.#.radius',
    value: { ...anyNumber, above: 0, atMost: 5000 },
    unit: 'mm',
    doc: 'Radius of a ball in print; it does not scale with the figure.',
  },
  {
    path: 'parts.*.keep-solid.#.size',
    value: { shape: 'numbers', length: 3, above: 0, atMost: 5000 },
    unit: 'mm',
    doc: 'Size of a box in print along the STL’s own axes; it does not scale with the figure.',
  },
];

const assembledKeys: readonly KeyEntry[] = [
  {
    path: 'assembled',
    value: { shape: 'map', words: ['yes', 'no'] },
    doc: 'How the parts stand in their STL files: put together as the figure, in one coordinate system; or `no`: each by itself, so that no joint can be found.',
  },
  {
    path: 'assembled.up',
    value: { shape: 'numbers', length: 3, nonzero: true },
    fallback: [0, 0, 1],
    basis: practice,
    doc: 'What is up as the finished figure stands, in source axes.',
  },
];

const jointKeys: readonly KeyEntry[] = [
  {
    path: 'joints',
    value: named,
    doc: 'What you decided about joints, by a name of your own. Joints are found without it.',
  },
  { path: 'joints.*', value: map, doc: 'One joint.' },
  {
    path: 'joints.*.parts',
    value: { shape: 'list', most: 2 },
    required: true,
    doc: 'The two parts that meet there.',
  },
  { path: 'joints.*.parts.#', value: { shape: 'part' }, doc: 'Name of a part.' },
  {
    path: 'joints.*.clearance',
    value: { ...anyNumber, atLeast: 0.05, atMost: 2 },
    unit: 'mm',
    doc: 'Gap all round that is made where the parts stand nearer: make-ready takes it from one of them, the other stays as it is. Absent: the joint stays as sculpted.',
  },
  {
    path: 'joints.*.give',
    value: { shape: 'part' },
    doc: 'The one of the two parts that the clearance is taken from. Absent: the socket; where neither goes into the other, the second part named.',
  },
  {
    path: 'joints.*.pin',
    value: { shape: 'map', textIs: 'metal' },
    doc: 'A round rod that carries the joint: its metal, or more about it.',
  },
  {
    path: 'joints.*.pin.metal',
    value: { shape: 'word', words: rodMetalNames },
    required: true,
    doc: 'Metal of the rod.',
  },
  {
    path: 'joints.*.pin.yield',
    value: { ...anyNumber, atLeast: 10, atMost: 3000 },
    unit: 'MPa',
    doc: 'Yield strength by the rod’s data sheet. Absent: a handbook’s for the metal.',
  },
  {
    path: 'joints.*.pin.diameter',
    value: { ...anyNumber, atLeast: 0.3, atMost: 50 },
    unit: 'mm',
    doc: 'Diameter of the rod. Absent: the thinnest that bears the load is told.',
  },
  {
    path: 'joints.*.pin.depth',
    value: { ...anyNumber, atLeast: 0.5, atMost: 500 },
    unit: 'mm',
    doc: 'How far it reaches into each part. Absent: the least that the socket bears is told.',
  },
  {
    path: 'joints.*.pin.safety',
    value: { ...anyNumber, atLeast: 1, atMost: 20 },
    fallback: 2,
    basis: choice,
    doc: 'How many times its load the rod must bear before it bends for good.',
  },
  {
    path: 'joints.*.pin.handling',
    value: { ...anyNumber, atLeast: 1, atMost: 50 },
    fallback: 3,
    basis: choice,
    doc: 'How many times its weight what hangs on the joint pulls as the figure is carried, set down or knocked, in any attitude.',
  },
  {
    path: 'joints.*.pin.clearance',
    value: { ...anyNumber, atLeast: 0, atMost: 5 },
    unit: 'mm',
    fallback: 0.15,
    basis: 'common practice, no source: 0.1 to 0.2 mm on the diameter',
    doc: 'How much wider its holes are than the rod.',
  },
  {
    path: 'joints.*.pin.at',
    value: { shape: 'numbers', length: 3 },
    unit: 'source units',
    doc: 'Where it passes from one part to the other, in the STL’s own coordinates. Absent: the middle of the joint’s largest region.',
  },
];

const partKeys: readonly KeyEntry[] = [
  { path: 'parts', value: named, doc: 'The parts of the kit, by a name of your own.' },
  { path: 'parts.*', value: map, doc: 'One part.' },
  { path: 'parts.*.file', value: { shape: 'file' }, doc: 'The part’s STL, relative to the kit folder.' },
  {
    path: 'parts.*.cut',
    // Each cut works through all facets.
    value: { shape: 'named', most: 8 },
    doc: 'The half of a cut that this part is: the cut’s name and `back` or `front`. Several cuts are made one after the other. The other half is a part with the same `file`.',
  },
  {
    path: 'parts.*.cut.*',
    value: { shape: 'word', words: ['back', 'front'] },
    doc: 'The half of this cut: `front` lies where `toward` points.',
  },
  {
    path: 'parts.*.turn',
    value: { shape: 'numbers', length: 3, atLeast: -360, atMost: 360 },
    unit: '°',
    fallback: [0, 0, 0],
    doc: 'Turns about the plate’s x, then y, then z axis.',
  },
  {
    path: 'parts.*.wash',
    value: { shape: 'numbers', length: 3, atLeast: -360, atMost: 360 },
    unit: '°',
    doc: 'How the part is held for the wash, as turns of the STL about x, then y, then z; gravity points down from there. Absent: the attitude in which least stays is searched and told.',
  },
  {
    path: 'parts.*.raise',
    value: { ...anyNumber, atLeast: 0, atMost: 5000 },
    unit: 'mm',
    fallback: 0,
    doc: 'Height of the lowest point above the plate. 0 stands on it; more needs supports.',
  },
  {
    path: 'parts.*.wall',
    value: wall,
    unit: 'mm',
    doc: 'Wall of the hollow part, or `solid`. Absent: `defaults.wall`.',
  },
  {
    path: 'parts.*.supports',
    value: { shape: 'map', words: supportWords },
    doc: 'Its supports: `planned`, which is also said by settings of its own, or `none`. Absent: as `supports` of the kit says.',
  },
  ...supportKeys('parts.*.supports', false),
  ...handSupportKeys,
  ...keepSolidKeys,
  ...openingKeys(
    'vents',
    'Openings that let a cup breathe: at the plate end, as near the start of the hollow as can be.',
  ),
  ...openingKeys(
    'drains',
    'Openings that let resin out: at the film end, where it gathers as the part hangs.',
  ),
  ...openingKeys('tubes', 'Bores for wires and fibres.'),
  {
    path: 'parts.*.show',
    value: { shape: 'list', most: 100 },
    doc: 'The show side, what the viewer of the figure sees, marked by outlines: no vent, no drain and no tip there.',
  },
  {
    path: 'parts.*.show.#',
    value: { shape: 'map', listIs: 'outline' },
    doc: 'One outline on the surface; what it holds is show side. The turntable draws it.',
  },
  {
    path: 'parts.*.show.#.outline',
    value: { shape: 'outline' },
    unit: 'source units',
    required: true,
    doc: 'Points on the surface in the STL’s own coordinates, at least three: a closed line.',
  },
  {
    path: 'parts.*.show.#.facing',
    value: { shape: 'numbers', length: 3, nonzero: true },
    doc: 'Direction out of the surface, in source axes, from where the outline is looked at. Absent: from where its points run counter-clockwise.',
  },
  {
    path: 'parts.*.fill',
    value: map,
    doc: 'What the chambers are filled with after printing, for weight or strength.',
  },
  { path: 'parts.*.fill.name', value: { shape: 'text', longest: 80 }, doc: 'What it is, in your words.' },
  {
    path: 'parts.*.fill.density',
    value: { ...anyNumber, above: 0, below: 25 },
    unit: 'g/ml',
    required: true,
    doc: 'Density as set or packed, by its data sheet or your scales.',
  },
  {
    path: 'parts.*.fill.level',
    value: { ...anyNumber, above: 0, atMost: 1 },
    fallback: 1,
    doc: 'Share of each chamber’s volume, poured as the figure stands: the sculpt’s z up.',
  },
  {
    path: 'parts.*.coat',
    value: map,
    doc: 'What the walls of the chambers are lined with after printing.',
  },
  { path: 'parts.*.coat.name', value: { shape: 'text', longest: 80 }, doc: 'What it is, in your words.' },
  {
    path: 'parts.*.coat.density',
    value: { ...anyNumber, above: 0, below: 25 },
    unit: 'g/ml',
    required: true,
    doc: 'Density as set, by its data sheet.',
  },
  {
    path: 'parts.*.coat.thickness',
    value: { ...anyNumber, above: 0, atMost: 20 },
    unit: 'mm',
    required: true,
    doc: 'Thickness of the coat.',
  },
  {
    path: 'parts.*.body',
    value: { shape: 'word', words: [...bodyPieceNames, 'none'] },
    doc: 'What the part is of a body: its size is held against published ones. Absent: by its name.',
  },
  { path: 'parts.*.resin', value: { shape: 'resin' }, doc: 'Resin of this part. Absent: `defaults.resin`.' },
  {
    path: 'parts.*.count',
    value: { ...anyNumber, whole: true, atLeast: 0, atMost: 1000 },
    unit: 'copies',
    fallback: 1,
    doc: 'How many are printed as sculpted.',
  },
  {
    path: 'parts.*.mirrored',
    value: { ...anyNumber, whole: true, atLeast: 0, atMost: 1000 },
    unit: 'copies',
    fallback: 0,
    doc: 'How many are printed as mirror images, besides.',
  },
];

export const keyTable: readonly KeyEntry[] = [
  ...kitKeys,
  ...machineKeys,
  ...resinKeys,
  ...defaultKeys,
  ...limitKeys,
  ...lightLimitKeys,
  ...poseKeys,
  ...kitStopperKeys,
  ...kitSupportKeys,
  ...cutKeys,
  ...assembledKeys,
  ...jointKeys,
  ...partKeys,
  ...plateKeys,
  ...lightKeys,
];

const byPath = new Map(keyTable.map((entry) => [entry.path, entry]));

/** The entry of a pattern path (`parts.*.wall`). The caller names a path of the table. */
export function keyEntry(path: string): KeyEntry {
  const entry = byPath.get(path);
  if (entry === undefined) throw new Error(`no such key in the table: ${path}`);
  return entry;
}

/**
 * The table's entry for a concrete path, or undefined where the table has none. `''` is the root.
 * Names are matched by the shape of what holds them, so a part may be called `count`.
 */
export function entryAt(path: readonly (string | number)[]): KeyEntry | undefined {
  let pattern = '';
  let entry: KeyEntry | undefined;
  for (const step of path) {
    const holder = entry?.value.shape;
    const isItem = holder === 'list' || (holder === 'map' && typeof step === 'number');
    const segment = holder === 'named' ? '*' : isItem ? '#' : String(step);
    pattern = pattern === '' ? segment : `${pattern}.${segment}`;
    entry = segment === '*' || segment === '#' || !/[.*#]/.test(segment) ? byPath.get(pattern) : undefined;
    if (entry === undefined) return undefined;
  }
  return entry;
}

export interface NamedEntry {
  readonly name: string;
  readonly entry: KeyEntry;
}

/** The keys that may stand directly under a pattern path (`''` for the root), in the table's order. */
export function keysUnder(pattern: string): readonly NamedEntry[] {
  return byHolder.get(pattern) ?? [];
}

const byHolder = groupByHolder();

function groupByHolder(): ReadonlyMap<string, readonly NamedEntry[]> {
  const groups = new Map<string, NamedEntry[]>();
  for (const entry of keyTable) {
    const cut = entry.path.lastIndexOf('.');
    const name = entry.path.slice(cut + 1);
    if (name === '*' || name === '#') continue;
    const holder = cut < 0 ? '' : entry.path.slice(0, cut);
    groups.set(holder, [...(groups.get(holder) ?? []), { name, entry }]);
  }
  return groups;
}
