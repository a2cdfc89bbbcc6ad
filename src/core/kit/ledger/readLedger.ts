import { parse } from 'yaml';
import { failure, type Result, success } from '../../result.ts';
import type { FindingCounts, Ledger, LedgerPart } from './ledger.ts';

/** Reads `ledger.yaml`. Fails `ledger-unreadable` for what `ledgerText` would not write. */
export function readLedger(text: string): Result<Ledger> {
  let whole: unknown;
  try {
    whole = parse(text, { maxAliasCount: 0 });
  } catch (error) {
    return unreadable(error instanceof Error ? error.message.split('\n')[0]! : 'it is not YAML');
  }
  try {
    const { ledger, kit, parts, joints, tip_deg, findings } = mapOf(whole, 'the ledger');
    if (ledger !== 1) throw new WrongValue(`ledger: ${String(ledger)} is another form than 1`);
    const read = Object.entries(mapOf(parts, 'parts')).map(
      ([name, part]) => [name, partOf(part, name)] as const,
    );
    return success({
      kit: textOf(kit, 'kit'),
      parts: Object.fromEntries(read),
      ...(joints !== undefined && { joints: jointsOf(joints) }),
      ...(tip_deg !== undefined && { tip_deg: numberOf(tip_deg, 'tip_deg') }),
      findings: countsOf(findings, 'findings'),
    });
  } catch (error) {
    if (error instanceof WrongValue) return unreadable(error.message);
    throw error;
  }
}

class WrongValue extends Error {}

const unreadable = (why: string) =>
  failure('ledger-unreadable', `ledger.yaml cannot be read: ${why}. Record it again.`);

function partOf(value: unknown, name: string): LedgerPart {
  const part = mapOf(value, name);
  const number = (key: string): number => numberOf(part[key], `${name}.${key}`);
  const text = (key: string): string => textOf(part[key], `${name}.${key}`);
  const size = part['size_mm'];
  if (!Array.isArray(size) || size.length !== 3) throw new WrongValue(`${name}.size_mm is not three numbers`);
  const openings = Object.entries(mapOf(part['openings'], `${name}.openings`));
  return {
    stl: text('stl'),
    decisions: text('decisions'),
    size_mm: size.map((value) => numberOf(value, `${name}.size_mm`)) as [number, number, number],
    wall_mm: part['wall_mm'] === null ? null : number('wall_mm'),
    openings: Object.fromEntries(openings.map(([id, mm]) => [id, numberOf(mm, `${name}.openings.${id}`)])),
    resin: part['resin'] === null ? null : text('resin'),
    liquid_ml: number('liquid_ml'),
    mass_g: number('mass_g'),
    hours: number('hours'),
    layers: number('layers'),
    pull_n: number('pull_n'),
    suction_n: number('suction_n'),
    trapped_ml: number('trapped_ml'),
    supports: part['supports'] === null ? null : supportsOf(part['supports'], `${name}.supports`),
    findings: countsOf(part['findings'], `${name}.findings`),
  };
}

function supportsOf(value: unknown, at: string): LedgerPart['supports'] {
  const { count, widest_tip_mm, reserve } = mapOf(value, at);
  return {
    count: numberOf(count, `${at}.count`),
    widest_tip_mm: numberOf(widest_tip_mm, `${at}.widest_tip_mm`),
    reserve: reserve === null ? null : numberOf(reserve, `${at}.reserve`),
  };
}

function jointsOf(value: unknown): NonNullable<Ledger['joints']> {
  const read = Object.entries(mapOf(value, 'joints')).map(([name, joint]) => {
    const { gap_mm, overlap_mm } = mapOf(joint, name);
    const figures = {
      gap_mm: numberOf(gap_mm, `${name}.gap_mm`),
      overlap_mm: numberOf(overlap_mm, `${name}.overlap_mm`),
    };
    return [name, figures] as const;
  });
  return Object.fromEntries(read);
}

function countsOf(value: unknown, at: string): FindingCounts {
  const counts = Object.entries(mapOf(value, at));
  return Object.fromEntries(counts.map(([code, count]) => [code, numberOf(count, `${at}.${code}`)]));
}

function mapOf(value: unknown, at: string): Record<string, unknown> {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) {
    for (const key of Object.keys(value)) textOf(key, `a key of ${at}`);
    return value as Record<string, unknown>;
  }
  throw new WrongValue(`${at} is not a mapping`);
}

function numberOf(value: unknown, at: string): number {
  if (typeof value === 'number' && Number.isFinite(value)) return value;
  throw new WrongValue(`${at} is not a number`);
}

function textOf(value: unknown, at: string): string {
  // It is shown in a terminal.
  if (typeof value === 'string' && !/\p{Cc}/u.test(value)) return value;
  throw new WrongValue(`${at} is not a text of printable characters`);
}
