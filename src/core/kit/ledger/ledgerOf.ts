import type { JointReport } from '../../joints/jointReport.ts';
import type { Finding } from '../finding.ts';
import type { FindingCode } from '../findingTable.ts';
import type { Manifest, Part } from '../manifest.ts';
import type { CheckReport, PartReport } from '../report.ts';
import { roundTo, roundVec3 } from '../rounding.ts';
import type { FindingCounts, Ledger, LedgerJoint, LedgerPart } from './ledger.ts';

/** By which a part's figures can be told to be out of date. */
export interface PartHashes {
  readonly stl: string;
  readonly decisions: string;
}

/** The ledger of a kit that was checked as a whole. `hashes` by part; one without them is not in it. */
export function ledgerOf(
  { kit, parts, joints, assembled, findings }: CheckReport,
  manifest: Manifest,
  hashes: ReadonlyMap<string, PartHashes>,
): Ledger {
  const recorded = manifest.parts.flatMap((part) => {
    const report = parts[part.name];
    const own = hashes.get(part.name);
    if (report === undefined || own === undefined) return [];
    const told = findings.filter((finding) => finding.part === part.name);
    return [[part.name, ledgerPart(report, part, own, told)] as const];
  });
  const names = new Set(recorded.map(([name]) => name));
  return {
    kit,
    parts: Object.fromEntries(recorded),
    ...(joints.length > 0 && { joints: Object.fromEntries(joints.map(ledgerJoint)) }),
    ...(assembled !== null && { tip_deg: roundTo(assembled.tip_deg, 1) }),
    findings: countsOf(findings.filter(({ part }) => part === null || !names.has(part))),
  };
}

function ledgerJoint({ parts, slide, gap, overlap }: JointReport): [string, LedgerJoint] {
  const gap_mm = roundTo((slide ?? gap).median_mm, 2);
  return [parts.join(', '), { gap_mm, overlap_mm: roundTo(overlap?.depth_mm ?? 0, 2) }];
}

function ledgerPart(
  { mesh, hollow, cups, print, layers, supports }: PartReport,
  { resin, openings }: Part,
  { stl, decisions }: PartHashes,
  findings: readonly Finding[],
): LedgerPart {
  const most = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), 0);
  const trapped = hollow.chambers.reduce((sum, { trapped_ml }) => sum + trapped_ml, 0);
  return {
    stl,
    decisions,
    size_mm: roundVec3(mesh.size_mm, 1),
    wall_mm: hollow.wall_mm,
    openings: Object.fromEntries(openings.map(({ id, diameter }) => [id, diameter])),
    resin,
    liquid_ml: roundTo(print.liquid_ml, 1),
    mass_g: roundTo(print.mass_g, 1),
    hours: roundTo(print.hours, 1),
    layers: layers.count,
    pull_n: roundTo(print.peak_pull_n, 1),
    suction_n: roundTo(most(cups.map(({ peak_pull_n }) => peak_pull_n)), 1),
    trapped_ml: roundTo(trapped, 1),
    supports: supports && {
      count: supports.count,
      widest_tip_mm: roundTo(most(supports.tips.map(({ tip_mm }) => tip_mm)), 2),
      reserve: supports.reserve === null ? null : roundTo(supports.reserve, 2),
    },
    findings: countsOf(findings),
  };
}

function countsOf(findings: readonly Finding[]): FindingCounts {
  const counts = new Map<FindingCode, number>();
  for (const { code } of findings) counts.set(code, (counts.get(code) ?? 0) + 1);
  return Object.fromEntries([...counts].sort(([a], [b]) => (a < b ? -1 : 1)));
}
