import type { Finding } from '../../core/kit/finding.ts';
import { measuredFindings, type ShownFinding, shownFromReport } from '../../host/shownFinding.ts';

/**
 * What is shown of the measured findings once one part of a running check is done: those of that
 * part are new, those of the others stand as they were. Numbers belong to the whole kit, which is
 * not known yet: a finding that was there before keeps its number, a new one has none.
 */
export function withPartFindings(
  before: readonly ShownFinding[],
  part: string,
  found: readonly Finding[],
  text: readonly ShownFinding[],
): readonly ShownFinding[] {
  const earlier = before.filter((finding) => finding.part === part);
  const shown = measuredFindings(found.map(shownFromReport), text).map((finding) => {
    const at = earlier.findIndex(({ code, message }) => code === finding.code && message === finding.message);
    const [same] = at < 0 ? [] : earlier.splice(at, 1);
    return { ...finding, number: same?.number ?? null };
  });
  return [...before.filter((finding) => finding.part !== part), ...shown];
}
