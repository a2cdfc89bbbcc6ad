import type { PartReport } from '../kit/report.ts';
import { openingName, plural } from '../kit/rules/figures.ts';

/** The figures of a part's report as rows of a table: what, and how much. The report's own, not rounded again. */
export function partFigures({
  mesh,
  hollow,
  balance,
  layers,
  cups,
  walls,
  supports,
  print,
}: PartReport): [string, string][] {
  return [
    [
      'Mesh',
      `${mesh.triangles} triangles, ${plural(mesh.shells, 'shell')}, ${mesh.watertight ? 'watertight' : 'not watertight'}`,
    ],
    ['Size as posed', `${mesh.size_mm.join(' × ')} mm`],
    ['Volume', `${mesh.volume_ml} ml`],
    ['Wall', hollow.wall_mm === null ? 'solid' : `${hollow.wall_mm} mm${thinnest(hollow.thinnest_wall_mm)}`],
    ['Resin', `${print.resin_ml} ml cured, ${print.liquid_ml} ml from the bottle`],
    ['Mass', `${print.mass_g} g`],
    ['Time', `${print.hours} h, ${plural(layers.count, 'layer')} of ${layers.layer_mm} mm`],
    ['Largest layer', `${layers.peak_area_mm2} mm², layer ${layers.peak_area_layer}`],
    ['Greatest pull', `${print.peak_pull_n} N, layer ${print.peak_pull_layer}`],
    ...supportFigures(supports),
    ['Resin lifted in cups', `${print.held_ml} ml at most`],
    ...(balance.fill === null && balance.coat === null
      ? []
      : [['Weight as filled', `${balance.total_g} g`] as [string, string]]),
    ...hollow.chambers.map((chamber, n): [string, string] => [`Chamber ${n}`, chamberText(chamber)]),
    ...cupFigures(cups),
    ...wallFigures(walls),
  ];
}

function supportFigures(supports: PartReport['supports']): [string, string][] {
  if (supports === null) return [];
  const { count, on_part, resin_ml, reserve, reserve_layer } = supports;
  const held =
    reserve === null ? '' : `; the weakest takes ${reserve} times its load, in layer ${reserve_layer}`;
  return [['Supports', `${count}, of them ${on_part} on the part, ${resin_ml} ml with their raft${held}`]];
}

const mostCups = 8;
/** Of the strongest: what pulls with less is a speck. */
const leastShare = 0.01;

/** The cups that pull hardest, named by their place in the report; relief leaves dozens of specks beside them. */
function cupFigures(cups: PartReport['cups']): [string, string][] {
  const byPull = cups
    .map((cup, n) => ({ cup, n }))
    .sort((a, b) => b.cup.peak_pull_n - a.cup.peak_pull_n || b.cup.peak_area_mm2 - a.cup.peak_area_mm2);
  const least = leastShare * (byPull[0]?.cup.peak_pull_n ?? 0);
  const strong = byPull.filter(({ cup }) => cup.peak_pull_n >= least).slice(0, mostCups);
  const told = strong.map(({ cup, n }): [string, string] => [
    `Cup ${n}`,
    `layers ${cup.from_layer} to ${cup.to_layer}, at most ${cup.peak_area_mm2} mm² and ${cup.peak_pull_n} N of suction; ${breathing(cup)}`,
  ]);
  const rest = byPull.slice(strong.length).map(({ cup }) => cup);
  if (rest.length === 0) return told;
  const most = (of: (cup: PartReport['cups'][number]) => number): number => Math.max(...rest.map(of));
  const sizes = `at most ${most((cup) => cup.peak_area_mm2)} mm² and ${most((cup) => cup.peak_pull_n)} N of suction each`;
  return [...told, [`${plural(rest.length, 'more cup')}`, sizes]];
}

const mostWalls = 4;
/** Of its limits: what uses less is not in question. */
const leastStrain = 0.1;

/** The walls that are strained most. */
function wallFigures(walls: PartReport['walls']): [string, string][] {
  return walls
    .filter(({ strain }) => strain >= leastStrain)
    .slice(0, mostWalls)
    .map((wall): [string, string] => [`Wall of chamber ${wall.chamber}`, wallText(wall)]);
}

function wallText(wall: PartReport['walls'][number]): string {
  const { assumed, load, sealed, pressure_kpa, stress_mpa, deflection_mm, layer, strain, bears_kpa } = wall;
  const pressure =
    load === 'peel'
      ? `the film’s peel of ${pressure_kpa} kPa`
      : `${sealed ? 'the atmosphere on its sealed cup' : 'suction'}, ${pressure_kpa} kPa`;
  const reach = wall.valid ? '' : ', beyond what the formula covers';
  return `${assumed}: ${stress_mpa} MPa and ${deflection_mm} mm under ${pressure} in layer ${layer}, ${Math.round(100 * strain)} % of its limit${reach}; bears ${bears_kpa} kPa`;
}

function chamberText({
  volume_ml,
  openings,
  trapped_ml,
  reach,
}: PartReport['hollow']['chambers'][number]): string {
  const through = openings.length === 0 ? 'no opening' : openings.map(openingName).join(', ');
  const reached =
    reach === null
      ? ''
      : `; ${reach.unrinsed_ml} ml are hard to rinse and ${reach.unlit_ml} ml out of sight of a lamp`;
  return `${volume_ml} ml, ${through}; ${trapped_ml} ml stay while it hangs${reached}`;
}

const thinnest = (mm: number | null): string => (mm === null ? '' : `, thinnest ${mm} mm`);

function breathing({
  sealed_layers,
  joins_layer,
  breathes_layer,
  breather,
  limited_by,
  needed_diameter_mm,
}: PartReport['cups'][number]): string {
  const through =
    breather === null
      ? ''
      : ` through ${breather === 'mesh' ? 'the sculpt’s own hole' : openingName(breather)}`;
  const breathes =
    breathes_layer === null ? 'never breathes' : `breathes from layer ${breathes_layer}${through}`;
  const joins = joins_layer === null ? 'never open' : `open from layer ${joins_layer}`;
  const limit = limited_by === null ? '' : `; held back most by ${limitText(limited_by)}`;
  const needed =
    needed_diameter_mm === null ? '' : `; a vent of ${needed_diameter_mm} mm where it starts would do`;
  return `sealed for ${plural(sealed_layers, 'layer')}, ${joins}, ${breathes}${limit}${needed}`;
}

const limits: Record<string, string> = {
  mesh: 'the sculpt’s own hole',
  neck: 'a neck of the hollow',
  sealed: 'being sealed',
  squeeze: 'the squeeze between floor and film',
};

const limitText = (limit: string): string => limits[limit] ?? openingName(limit);
