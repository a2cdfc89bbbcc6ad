import type { Support } from '../core/supports/supportPlan.ts';
import type { TipView } from '../protocol/partView.ts';

/** A support as the turntable lets it be taken by its tip. */
export function tipView({ contact, tipMm, loadN, loadLayer, stands }: Support): TipView {
  return { at: contact.at, widthMm: tipMm, loadN, loadLayer, stands, byHand: contact.byHand };
}
