import { Document, isMap, isPair, isScalar, visit } from 'yaml';
import type { Ledger } from './ledger.ts';

const head = ` What Kitwright computed from the decisions in kit.yaml and the STL files. Commit it with them:
 a diff shows what a decision changed. "kitwright record" writes it; "kitwright check --against ledger" tells
 when it is out of date.`;

/** Maps of so few keys stand on one line, as far as that is short. */
const WIDTH = 110;

/** `ledger.yaml`, the same bytes for the same ledger. */
export function ledgerText({ kit, parts, joints, tip_deg, findings }: Ledger): string {
  const whole = { ...(joints && { joints }), ...(tip_deg !== undefined && { tip_deg }) };
  // Parts that share a value each have their own.
  const document = new Document(
    { ledger: 1, kit, parts, ...whole, findings },
    { aliasDuplicateObjects: false },
  );
  document.commentBefore = head;
  visit(document, {
    Pair(_, pair, path) {
      const { value } = pair;
      // Within a part what belongs together stands together, and so does a joint.
      const isJoint = path.length === 4 && isPair(path[2]) && String(path[2].key) === 'joints';
      const isDeep = isJoint || path.filter(isMap).length >= 3;
      if (isMap(value) && (isDeep || (isScalar(pair.key) && pair.key.value === 'findings')))
        value.flow = true;
    },
    Seq(_, seq) {
      seq.flow = true;
    },
  });
  return document.toString({ lineWidth: WIDTH, flowCollectionPadding: true });
}
