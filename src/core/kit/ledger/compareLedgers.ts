import { roundTo } from '../rounding.ts';
import { openingName } from '../rules/figures.ts';
import type { FindingCounts, Ledger, LedgerPart } from './ledger.ts';

/** What is otherwise of a part, or of the kit as a whole. */
export interface LedgerChange {
  /** Null = the kit. */
  readonly part: string | null;
  /** Phrases, the decisions first, then what they did. */
  readonly changes: readonly string[];
  /** Codes that are told more often than before. */
  readonly newFindings: readonly string[];
}

/** From one ledger to the other, part by part in the order of the later one; parts that are as they were are left out. */
export function compareLedgers(before: Ledger, after: Ledger): LedgerChange[] {
  const changed = Object.entries(after.parts).flatMap(([part, now]): LedgerChange[] => {
    if (!Object.hasOwn(before.parts, part)) {
      const newFindings = Object.keys(now.findings);
      return [
        {
          part,
          changes: [`new, ${now.liquid_ml} ml, ${now.hours} h`, ...told({}, now.findings)],
          newFindings,
        },
      ];
    }
    const was = before.parts[part]!;
    const changes = partChanges(was, now);
    return changes.length === 0 ? [] : [{ part, changes, newFindings: more(was.findings, now.findings) }];
  });
  const gone = Object.keys(before.parts).filter((part) => !Object.hasOwn(after.parts, part));
  const renamed = before.kit === after.kit ? [] : [`was ${before.kit}`];
  const ofKit = [
    ...renamed,
    ...jointChanges(before.joints ?? {}, after.joints ?? {}),
    ...tipChange(before.tip_deg, after.tip_deg),
    ...told(before.findings, after.findings),
  ];
  const kit = { part: null, changes: ofKit, newFindings: more(before.findings, after.findings) };
  return [
    ...changed,
    ...gone.map((part) => ({ part, changes: ['no longer in it'], newFindings: [] })),
    ...(ofKit.length === 0 ? [] : [kit]),
  ];
}

/** `torso: vent 2 8 → 11 mm, pull 41 → 9 N, resin −3 ml` */
export const changeText = ({ part, changes }: LedgerChange, kit: string): string =>
  `${part ?? kit}: ${changes.join(', ')}`;

function partChanges(was: LedgerPart, now: LedgerPart): string[] {
  const changes = [
    ...(was.stl === now.stl ? [] : ['another STL']),
    ...openingChanges(was.openings, now.openings),
    ...(was.wall_mm === now.wall_mm ? [] : [`wall ${wallOf(was)} → ${wallOf(now)}`]),
    ...(was.resin === now.resin ? [] : [`resin ${was.resin ?? 'none'} → ${now.resin ?? 'none'}`]),
    ...supportChanges(was.supports, now.supports),
    ...(same(was.size_mm, now.size_mm)
      ? []
      : [`size ${was.size_mm.join(' × ')} → ${now.size_mm.join(' × ')} mm`]),
    ...fromTo('worst pull', was.pull_n, now.pull_n, 'N'),
    ...fromTo('suction', was.suction_n, now.suction_n, 'N'),
    ...fromTo('left while it hangs', was.trapped_ml, now.trapped_ml, 'ml'),
    ...by('resin', was.liquid_ml, now.liquid_ml, 'ml'),
    ...by('weight', was.mass_g, now.mass_g, 'g'),
    ...by('print', was.hours, now.hours, 'h'),
    ...fromTo('layers', was.layers, now.layers, ''),
    ...told(was.findings, now.findings),
  ];
  if (changes.length > 0 || was.decisions === now.decisions) return changes;
  return ['decisions changed, no figure of it did'];
}

const wallOf = ({ wall_mm }: LedgerPart): string => (wall_mm === null ? 'solid' : `${wall_mm} mm`);
const same = (a: readonly number[], b: readonly number[]): boolean => a.every((value, at) => value === b[at]);

function openingChanges(was: LedgerPart['openings'], now: LedgerPart['openings']): string[] {
  const widths = Object.entries(now).flatMap(([id, mm]) => {
    const before = Object.hasOwn(was, id) ? was[id] : undefined;
    if (before === mm) return [];
    return [
      before === undefined ? `new ${openingName(id)} ${mm} mm` : `${openingName(id)} ${before} → ${mm} mm`,
    ];
  });
  const gone = Object.keys(was).filter((id) => !Object.hasOwn(now, id));
  return [...widths, ...gone.map((id) => `no ${openingName(id)}`)];
}

function supportChanges(was: LedgerPart['supports'], now: LedgerPart['supports']): string[] {
  if (was === null && now === null) return [];
  if (now === null) return ['no supports'];
  if (was === null) return [`${now.count} supports`];
  return [
    ...fromTo('supports', was.count, now.count, ''),
    ...fromTo('widest tip', was.widest_tip_mm, now.widest_tip_mm, 'mm'),
    ...(was.reserve === now.reserve ? [] : [`reserve ${was.reserve ?? '–'} → ${now.reserve ?? '–'}`]),
  ];
}

/** Joints that were not recorded before, or are no more, are told by the parts that came or went. */
function jointChanges(was: NonNullable<Ledger['joints']>, now: NonNullable<Ledger['joints']>): string[] {
  return Object.entries(now).flatMap(([name, joint]) => {
    const before = Object.hasOwn(was, name) ? was[name] : undefined;
    if (before === undefined) return [];
    return [
      ...fromTo(`gap of ${name}`, before.gap_mm, joint.gap_mm, 'mm'),
      ...fromTo(`overlap of ${name}`, before.overlap_mm, joint.overlap_mm, 'mm'),
    ];
  });
}

const tipChange = (was: number | undefined, now: number | undefined): string[] =>
  was === undefined || now === undefined ? [] : fromTo('falls over at', was, now, '°');

const fromTo = (name: string, was: number, now: number, unit: string): string[] =>
  was === now ? [] : [`${name} ${was} → ${now} ${unit}`.trimEnd()];

function by(name: string, was: number, now: number, unit: string): string[] {
  const change = roundTo(now - was, 1);
  return change === 0 ? [] : [`${name} ${change > 0 ? '+' : '−'}${Math.abs(change)} ${unit}`];
}

function told(was: FindingCounts, now: FindingCounts): string[] {
  const gone = Object.entries(was).flatMap(([code, count]) => {
    const left = countIn(now, code);
    return left < count! ? [left === 0 ? `no more ${code}` : `${code} ${count} → ${left}`] : [];
  });
  const added = more(was, now).map((code) => {
    const [before, count] = [countIn(was, code), countIn(now, code)];
    return before === 0 ? `new: ${code}${count === 1 ? '' : ` (${count})`}` : `${code} ${before} → ${count}`;
  });
  return [...gone, ...added];
}

const more = (was: FindingCounts, now: FindingCounts): string[] =>
  Object.entries(now).flatMap(([code, count]) => (count! > countIn(was, code) ? [code] : []));

const countIn = (counts: FindingCounts, code: string): number =>
  Object.hasOwn(counts, code) ? counts[code as keyof FindingCounts]! : 0;
