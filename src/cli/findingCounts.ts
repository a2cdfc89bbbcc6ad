import type { Finding } from '../core/kit/finding.ts';

/** `2 errors, 1 warning`, or `nothing to report`. */
export function findingCounts(findings: readonly Finding[]): string {
  const counts = (['error', 'warning', 'info'] as const).map((severity) => {
    const count = findings.filter((finding) => finding.severity === severity).length;
    const noun = severity === 'info' ? 'note' : severity;
    return count === 0 ? '' : `${count} ${noun}${count === 1 ? '' : 's'}`;
  });
  return counts.filter((text) => text !== '').join(', ') || 'nothing to report';
}
