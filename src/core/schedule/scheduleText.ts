import { escapeMarkdown } from '../explain/escapeMarkdown.ts';
import { markdownTable } from '../explain/markdownTable.ts';
import { topUpCaution } from '../kit/topUpCaution.ts';
import type { PrintReport, ScheduleReport } from './scheduleReport.ts';

/** A schedule as a Markdown document. */
export function scheduleText(report: ScheduleReport): string {
  const { kit, prints, left_out, attended_h, changeover_min } = report;
  const pours = prints.some(({ top_ups }) => top_ups.length > 0);
  const notes = prints.flatMap((print) =>
    print.notes.map((note) => `- ${nameOf(print)}: ${escapeMarkdown(note)}`),
  );
  const bottles = prints.flatMap(bottleLines);
  const changes = prints.flatMap(changeLine);
  const out = left_out.map(({ name, why }) => `- ${escapeMarkdown(name)}: ${escapeMarkdown(why)}.`);
  return `${[
    `# Resin and time: ${escapeMarkdown(kit)}`,
    summary(report),
    ...(prints.length === 0 ? [] : [printTable(prints)]),
    ...(pours ? ['## Top-ups', topUpCaution, pourTable(prints)] : []),
    ...(bottles.length === 0 ? [] : ['## Bottles to open', bottles.join('\n')]),
    ...(changes.length === 0 ? [] : ['## A resin ends', changes.join('\n')]),
    ...(notes.length === 0 ? [] : ['## To look at', notes.join('\n')]),
    '## Bottles',
    bottleTable(report),
    ...(out.length === 0 ? [] : ['## Not in it', out.join('\n')]),
    '## How it is reckoned',
    [
      `- One machine prints plates first, then parts that are on none, in the order of kit.yaml. Somebody is there from ${clock(attended_h[0])} to ${clock(attended_h[1])}; a changeover takes ${changeover_min} min. A print starts then, as early as its end and its top-ups fall into those hours, too.`,
      '- The vat is filled at the start of each print. What stays in it goes back: what is left counts bottles and vat together.',
      '- The level falls in proportion to what is cured and lifted out. Pours of one print are equal and as few as fall into attended hours; each may be done before any of the layers named.',
      '- From the bottle: liquid that cures, planned supports included; resin that a cup lifts out; and the share that is lost besides (`resins.*.waste`). Supports of the slicer are not counted.',
      '- Hours leave out the acceleration of the motors and the pauses for pouring, and clocks are not put forward or back.',
    ].join('\n'),
  ].join('\n\n')}\n`;
}

function summary({ prints, hours, span_h, cost }: ScheduleReport): string {
  const price = cost === null ? '' : `, ${cost.toFixed(2)} of resin`;
  const days = (span_h / 24).toFixed(1);
  return `${prints.length} ${prints.length === 1 ? 'print' : 'prints'}, ${hours.toFixed(1)} h of printing within ${days} days${price}.`;
}

function nameOf({ kind, name, copy }: PrintReport): string {
  const which = copy === null ? '' : ` ${copy.number} of ${copy.of}${copy.mirrored ? ', mirrored' : ''}`;
  return `${kind === 'plate' ? 'plate ' : ''}${escapeMarkdown(name)}${which}`;
}

const two = (value: number): string => String(value).padStart(2, '0');

function clock(hours: number): string {
  const minutes = Math.round(hours * 60);
  return `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** `2026-11-30 08:00`, or `day 1, 08:00`. */
function when(hours: number, wall: string | null): string {
  if (wall !== null) return wall.replace('T', ' ');
  const minutes = Math.round(hours * 60);
  return `day ${Math.floor(minutes / 1440) + 1}, ${clock((minutes % 1440) / 60)}`;
}

const money = (cost: number | null): string => (cost === null ? '' : cost.toFixed(2));
const ml = (value: number | null): string => (value === null ? '' : value.toFixed(0));

function printTable(prints: readonly PrintReport[]): string {
  const heads = [
    'Print',
    'Resin',
    'Start',
    'End',
    'Hours',
    'Layers',
    'Liquid ml',
    'of it supports',
    'Lifted out',
    'Waste',
    'From the bottle',
    'Left ml',
    'Cost',
  ];
  const rows = prints.map((print) => [
    nameOf(print),
    escapeMarkdown(print.resin),
    when(print.start_h, print.start),
    when(print.end_h, print.end),
    print.hours.toFixed(1),
    String(print.layers),
    ml(print.liquid_ml),
    ml(print.supports_ml),
    ml(print.held_ml),
    ml(print.waste_ml),
    ml(print.used_ml),
    ml(print.left_ml),
    money(print.cost),
  ]);
  return markdownTable(heads, rows);
}

function pourTable(prints: readonly PrintReport[]): string {
  const heads = [
    'Print',
    'Before layer',
    'z mm',
    'Into the print',
    'When',
    'Pour ml',
    'May be done before layers',
  ];
  const rows = prints.flatMap((print) =>
    print.top_ups.map((pour) => [
      nameOf(print),
      String(pour.before_layer),
      pour.z_mm.toFixed(2),
      `${pour.into_h.toFixed(1)} h`,
      `${when(pour.at_h, pour.at)}${pour.attended ? '' : ' (nobody there)'}`,
      pour.of_other_ml > 0
        ? `${ml(pour.pour_ml)}, ${ml(pour.of_other_ml)} of it of another bottle`
        : ml(pour.pour_ml),
      `${pour.from_layer} to ${pour.by_layer}`,
    ]),
  );
  return markdownTable(heads, rows);
}

function bottleLines(print: PrintReport): string[] {
  return print.bottles.map(({ number, of, ml: size, before_layer, z_mm }) => {
    const when =
      before_layer === null
        ? 'before it starts'
        : `before layer ${before_layer} (${z_mm!.toFixed(2)} mm), with the top-up there`;
    return `- ${nameOf(print)}: bottle ${number} of ${of} of ${escapeMarkdown(print.resin)} (${ml(size)} ml) must be at hand ${when}.`;
  });
}

function changeLine(print: PrintReport): string[] {
  if (print.resin_change === null) return [];
  const { layer, z_mm, to } = print.resin_change;
  const next = to === null ? 'nothing else on hand' : `${escapeMarkdown(to)} next`;
  return [
    `- ${nameOf(print)}: ${escapeMarkdown(print.resin)} lasts to layer ${layer} (${z_mm.toFixed(2)} mm) at most; ${next}. Two resins then share the vat: colour and strength change with it, and not all resins may be mixed.`,
  ];
}

const eachOf = (bottles: readonly number[]): string[] =>
  bottles.length === 0 ? [] : [`(${bottles.map(ml).join(' + ')})`];

function bottleTable({ resins }: ScheduleReport): string {
  const rows = Object.entries(resins).map(([name, { on_hand_ml, bottles_ml, used_ml, left_ml, cost }]) => [
    escapeMarkdown(name),
    on_hand_ml === null ? 'not told' : [ml(on_hand_ml), ...eachOf(bottles_ml)].join(' '),
    ml(used_ml),
    left_ml === null ? '' : left_ml < 0 ? `${ml(-left_ml)} short` : ml(left_ml),
    money(cost),
  ]);
  return markdownTable(['Resin', 'On hand ml', 'From the bottle', 'Left', 'Cost'], rows);
}
