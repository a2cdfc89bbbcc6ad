import type { PartReport } from '../kit/report.ts';
import { openingName, plural } from '../kit/rules/figures.ts';

/** The figures of a part's report as rows of a table: what, and how much. The report's own, not rounded again. */
export function partFigures({ mesh, hollow, layers, cups, print }: PartReport): [string, string][] {
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
    ['Resin lifted in cups', `${print.held_ml} ml at most`],
    ...hollow.chambers.map(({ volume_ml, openings, trapped_ml }, n): [string, string] => [
      `Chamber ${n}`,
      `${volume_ml} ml, ${openings.length === 0 ? 'no opening' : openings.map(openingName).join(', ')}; ${trapped_ml} ml stay while it hangs`,
    ]),
    ...cups
      .slice(0, mostCups)
      .map((cup, n): [string, string] => [
        `Cup ${n}`,
        `layers ${cup.from_layer} to ${cup.to_layer}, at most ${cup.peak_area_mm2} mm² and ${cup.peak_pull_n} N of suction; ${breathing(cup)}`,
      ]),
    ...(cups.length > mostCups ? [['More cups', String(cups.length - mostCups)] as [string, string]] : []),
  ];
}

const mostCups = 12;

const thinnest = (mm: number | null): string => (mm === null ? '' : `, thinnest ${mm} mm`);

function breathing({
  sealed_layers,
  joins_layer,
  breathes_layer,
  breather,
}: PartReport['cups'][number]): string {
  const through =
    breather === null
      ? ''
      : ` through ${breather === 'mesh' ? 'the sculpt’s own hole' : openingName(breather)}`;
  const breathes =
    breathes_layer === null ? 'never breathes' : `breathes from layer ${breathes_layer}${through}`;
  const joins = joins_layer === null ? 'never open' : `open from layer ${joins_layer}`;
  return `sealed for ${plural(sealed_layers, 'layer')}, ${joins}, ${breathes}`;
}
