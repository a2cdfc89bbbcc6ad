import type { Manifest } from '../kit/manifest.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import { roundTo, roundVec3 } from '../kit/rounding.ts';
import { scale, type Vec3 } from '../vector.ts';
import { bendLimitMm } from './bendLimit.ts';
import { heldInTube } from './heldInTube.ts';
import { ledRun } from './ledRun.ts';
import type { Leds, Light } from './light.ts';
import { lightCurve } from './lightCurve.ts';

/** A light in `check --json`, under `lights`. Lengths print mm; places in source coordinates. */
export interface LightReport {
  readonly diameter_mm: number;
  readonly lining_mm: number;
  readonly length_mm: number;
  /** Where it bends most: of the middle line and at the inside; null of a straight one. */
  readonly bend_mm: number | null;
  readonly inside_bend_mm: number | null;
  readonly bend_at_source: Vec3;
  /** Of what it carries; null where nobody told. */
  readonly bend_limit_mm: number | null;
  /** Along it, what lies within the skin of each part that was measured. */
  readonly passes: readonly {
    readonly part: string;
    readonly from_mm: number;
    readonly to_mm: number;
    /** Null where the path begins, or ends, in the solid. */
    readonly enters_source: Vec3 | null;
    readonly leaves_source: Vec3 | null;
    /** Least to the skin, mouths left out, and to the hollow; null where neither is near. */
    readonly wall_mm: number | null;
    readonly lining_mm: number | null;
    /** Resin that stays in it as the part hangs. */
    readonly holds_ml: number;
  }[];
  readonly leds: {
    readonly current_a: number;
    /** What the supply should be rated for. */
    readonly supply_a: number;
    readonly wire_ohm: number;
    readonly drop_v: number;
    readonly arrives_v: number;
    readonly power_w: number;
    readonly led_w: number;
    readonly copper_mm2: number;
    readonly wire_a: number;
  } | null;
}

/** Null where the manifest does not yet say how large it is printed, or the path is a point. `toSource` by part. */
export function lightReport(
  light: Light,
  { scale: { factor } }: Manifest,
  facts: ReadonlyMap<string, PartFacts>,
  toSource: (part: string, at: Vec3) => Vec3,
): LightReport | null {
  const radius = light.diameter / 2;
  const curve =
    factor === null
      ? null
      : lightCurve(
          light.path.map((point) => scale(point, factor)),
          radius + light.lining,
        );
  if (curve === null) return null;
  const bend = Number.isFinite(curve.leastRadiusMm) ? curve.leastRadiusMm : null;
  return {
    diameter_mm: light.diameter,
    lining_mm: light.lining,
    length_mm: roundTo(curve.lengthMm, 2),
    bend_mm: bend && roundTo(bend, 2),
    inside_bend_mm: bend && roundTo(Math.max(0, bend - radius), 2),
    bend_at_source: roundVec3(scale(curve.leastRadiusAt, 1 / factor!), 3),
    bend_limit_mm: light.carries && roundTo(bendLimitMm(light.carries), 2),
    passes: passesOf(light, facts, toSource),
    leds: light.leds && runReport(light.leds),
  };
}

function passesOf(
  { name, through }: Light,
  facts: ReadonlyMap<string, PartFacts>,
  toSource: (part: string, at: Vec3) => Vec3,
): LightReport['passes'] {
  return through.flatMap(({ part }) => {
    const own = facts.get(part)?.lights.find((light) => light.name === name);
    const back = (at: Vec3 | null): Vec3 | null => at && roundVec3(toSource(part, at), 3);
    return (own?.passes ?? []).map((pass) => ({
      part,
      from_mm: roundTo(pass.fromMm, 2),
      to_mm: roundTo(pass.toMm, 2),
      enters_source: back(pass.enters),
      leaves_source: back(pass.leaves),
      wall_mm: own!.thinnest && roundTo(own!.thinnest.wallMm, 2),
      lining_mm: own!.leastLiningMm === null ? null : roundTo(own!.leastLiningMm, 2),
      holds_ml: roundTo((heldInTube(own!, pass)?.volumeMm3 ?? 0) / 1000, 3),
    }));
  });
}

function runReport(leds: Leds): NonNullable<LightReport['leds']> {
  const run = ledRun(leds);
  return {
    current_a: roundTo(run.currentA, 4),
    supply_a: roundTo(run.supplyA, 4),
    wire_ohm: roundTo(run.wireOhm, 4),
    drop_v: roundTo(run.dropV, 4),
    arrives_v: roundTo(run.arrivesV, 4),
    power_w: roundTo(run.powerW, 3),
    led_w: roundTo(run.ledW, 3),
    copper_mm2: roundTo(run.copperMm2, 4),
    wire_a: roundTo(run.wireA, 3),
  };
}

/** One line of text. */
export function lightLine(name: string, report: LightReport): string {
  const parts = [...new Set(report.passes.map(({ part }) => part))].join(', ') || 'no part';
  const bend =
    report.inside_bend_mm === null
      ? 'straight'
      : `bends to ${report.inside_bend_mm.toFixed(1)} mm at the inside`;
  const allowed = report.bend_limit_mm === null ? '' : ` (least ${report.bend_limit_mm.toFixed(1)})`;
  const run =
    report.leds === null
      ? ''
      : `; ${report.leds.current_a.toFixed(2)} A, ${report.leds.drop_v.toFixed(2)} V lost in the wires, ${report.leds.arrives_v.toFixed(2)} V arrive, supply for ${report.leds.supply_a.toFixed(2)} A, ${report.leds.led_w.toFixed(2)} W of heat`;
  return `light ${name}: through ${parts}; ${report.length_mm.toFixed(0)} mm, ${bend}${allowed}${run}`;
}
