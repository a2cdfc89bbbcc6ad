import type { Finding, Severity } from './finding.ts';

/** `kit.yaml:12:7 error sealed-cup …`, one line. */
export function formatFinding(finding: Finding): string {
  const { file, line, column, severity, code, message } = finding;
  return `${file}:${line}:${column} ${severity} ${code} ${message}`;
}

/** `2 errors, 1 warning`, or `nothing found`. Infos are counted only when there are any. */
export function tally(findings: readonly Finding[]): string {
  const count = (severity: Severity) => findings.filter((finding) => finding.severity === severity).length;
  const words = (n: number, word: string) => `${n} ${word}${n === 1 ? '' : 's'}`;
  const infos = count('info');
  if (findings.length === 0) return 'nothing found';
  const told = [words(count('error'), 'error'), words(count('warning'), 'warning')];
  return [...told, ...(infos > 0 ? [words(infos, 'note')] : [])].join(', ');
}
