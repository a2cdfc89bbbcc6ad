import { applyAffine } from '../../affine.ts';
import type { JointFacts } from '../../joints/jointFacts.ts';
import type { FindingDraft } from '../finding.ts';
import { shorten } from '../manifestPath.ts';
import { figure, figuresApart } from './figures.ts';
import type { KitContext } from './ruleContext.ts';

/**
 * A clearance is cut out of a hollow part's wall from outside. The wall is taken to stand behind every face of the
 * joint: where it is solid further down, more is left.
 */
export function clearanceThinsWall({ joints, facts, manifest }: KitContext): FindingDraft[] {
  const { leastWall } = manifest.limits;
  return joints.flatMap((found): FindingDraft[] => {
    const { clearance, decided, joint } = found;
    if (clearance === null || clearance.cutMm === 0) return [];
    const hollow = facts.get(clearance.gives)?.hollow;
    if (hollow?.wallMm == null || hollow.chambers.length === 0) return [];
    const leftMm = hollow.wallMm - clearance.cutMm;
    if (leftMm >= leastWall) return [];
    const [left, least] = figuresApart(Math.max(0, leftMm), leastWall, 'mm');
    const depth = `up to ${figure(clearance.cutMm, 'mm')} deep into the ${figure(hollow.wallMm, 'mm')} wall of ${clearance.gives}`;
    const outcome =
      leftMm > 0
        ? `that leaves ${left}, less than ${least}`
        : 'it breaks in, and make-ready refuses the part';
    return [
      {
        code: 'clearance-thins-wall',
        part: clearance.gives,
        path: ['joints', decided!, 'clearance'],
        message: `The clearance of ${shorten(decided!)} is cut ${depth}. Where the hollow lies behind the joint, ${outcome}. Keep the joint solid (\`keep-solid\`), make the wall thicker, or let ${clearance.keeps} give.`,
        at: applyAffine(placeOf(found), joint.overlap?.at ?? joint.nearest),
        measured: Math.max(0, leftMm),
        limit: leastWall,
        unit: 'mm',
      },
    ];
  });
}

const placeOf = ({ clearance, first, toPrint }: JointFacts) => toPrint[clearance!.gives === first ? 0 : 1];
