import { shorten } from '../manifestPath.ts';
import { figure, plural } from '../rules/figures.ts';
import type { Calibration } from './calibrate.ts';
import type { PrintEntry } from './journal.ts';
import type { JournalReport, NearReport } from './journalReport.ts';

/** More would be no answer. */
const mostShown = 5;

/** What a journal answers, as people read it, a line each. */
export function journalText({ prints, results, near, calibrations }: JournalReport): readonly string[] {
  if (prints === 0) return ['The journal is empty: log a print first.'];
  const counts = Object.entries(results).map(([result, count]) => `${count} ${result}`);
  return [
    `${plural(prints, 'print')}: ${counts.join(', ')}`,
    ...(near === null ? [] : nearLines(near)),
    ...calibrations.flatMap(calibrationLines),
  ];
}

function nearLines({ part, size_mm, pull_n, came_out, may_fail_share, prints }: NearReport): string[] {
  const like = `${part}, ${size_mm.map((side) => figure(side, '').trim()).join(' × ')} mm, ${figure(pull_n, 'N')}`;
  if (may_fail_share === null) return [`No print within twice the size and pull of ${like}.`];
  const chance = `with so few prints up to ${Math.round(100 * may_fail_share)} % of such may fail`;
  return [
    `Like ${like}: ${came_out} of ${prints.length} came out; ${chance}.`,
    ...prints.slice(0, mostShown).map((print) => `  ${printText(print)}`),
    ...(prints.length > mostShown ? [`  and ${prints.length - mostShown} more`] : []),
  ];
}

function printText({ part, date, result, layer, settings, figures, words }: PrintEntry): string {
  const set =
    settings === null
      ? []
      : [
          settings.wall_mm === null ? 'solid' : `wall ${figure(settings.wall_mm, 'mm')}`,
          ...(settings.resin === null ? [] : [shorten(settings.resin)]),
          `layers of ${figure(settings.layer_mm, 'mm')}`,
          `lift ${figure(settings.lift_up, 'mm/min')}`,
          `${figure(settings.exposure_s, 's')} of light`,
          settings.supports === 'planned' ? 'planned supports' : 'no planned supports',
        ];
  return [
    `${date} ${shorten(part)}: ${result}${layer === null ? '' : ` at layer ${layer}`}`,
    ...(figures === null ? [] : [figure(figures.peak.pull_n, 'N')]),
    ...set,
    ...(words === null ? [] : [shorten(words)]),
  ].join(', ');
}

function calibrationLines({
  key,
  unit,
  current,
  good,
  failed,
  atLeast,
  atMost,
  byThree,
  proposed,
  why,
}: Calibration): string[] {
  const told = (value: number | null, before: string): string[] =>
    value === null ? [] : [`${before} ${figure(value, unit)}`];
  const bounds =
    key === 'film.peel'
      ? [
          ...told(atLeast, 'at least'),
          ...told(atMost, 'at most'),
          ...told(byThree, 'three prints say at most'),
        ]
      : [...told(atLeast, 'borne'), ...told(byThree, 'borne by three'), ...told(atMost, 'came off at')];
  const said = bounds.length === 0 ? 'nothing is known' : bounds.join(', ');
  return [
    `${key}, now ${figure(current, unit)}: ${said} (${good} that held, ${failed} that came off). ${why}`,
    ...(proposed === null ? [] : [`  your own number: ${key.replace('.', ': { ')}: ${proposed} }`]),
  ];
}
