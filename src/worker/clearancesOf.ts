import type { Manifest, Part } from '../core/kit/manifest.ts';
import type { JointRelief, PartClearances } from '../pipeline/relieveJoints.ts';
import type { Measured, MeasuredKit } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

/** What a part gives way for, by the joints that were found. */
export function clearancesOf(
  { joints }: Pick<MeasuredKit<Measured>, 'joints'>,
  manifest: Manifest,
  part: Part,
  kitDir: string,
): PartClearances {
  const reliefs: JointRelief[] = [];
  const unmade: string[] = [];
  for (const { name, parts, clearance: asked } of manifest.joints) {
    if (asked === null || !parts.includes(part.name)) continue;
    const facts = joints.find(({ decided }) => decided === name);
    if (facts?.clearance == null) {
      const isMine = asked.give === null || asked.give === part.name || !parts.includes(asked.give);
      if (isMine) unmade.push(`The clearance of ${name} is not cut: the check does not find that joint.`);
      continue;
    }
    const { mm: clearanceMm, gives, keeps } = facts.clearance;
    if (gives !== part.name) continue;
    const keeping = manifest.parts.find((other) => other.name === keeps)!;
    // What was just measured may be read.
    const other = partRequestOf(manifest, keeping, kitDir, false)!;
    const toPrint = facts.toPrint[gives === facts.first ? 0 : 1];
    reliefs.push({ joint: name, clearanceMm, other, toPrint });
  }
  return { reliefs, unmade };
}

/** The parts, and those that they are to keep a clearance from: a joint is found only between parts that were measured. */
export function withPartners({ joints, parts: own }: Manifest, names: readonly string[]): readonly string[] {
  const known = new Set(own.map(({ name }) => name));
  const partners = joints
    .filter(({ clearance, parts }) => clearance !== null && parts.some((part) => names.includes(part)))
    .flatMap(({ parts }) => parts.filter((part) => known.has(part)));
  return [...new Set([...names, ...partners])];
}
