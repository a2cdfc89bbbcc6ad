import * as vscode from 'vscode';
import { registerCodeLens } from './features/codeLens/codeLens.ts';
import { registerCompletion } from './features/completion/completion.ts';
import { registerCoupon } from './features/coupon/coupon.ts';
import { registerExplainFinding } from './features/explainFinding/explainFinding.ts';
import { registerExplainPart } from './features/explainPart/explainPart.ts';
import { registerHover } from './features/hover/hover.ts';
import { registerAskJournal } from './features/journal/askJournal.ts';
import { registerLogPrint } from './features/journal/logPrint.ts';
import { registerKitView } from './features/kitView/kitView.ts';
import { registerLedger } from './features/ledger/ledger.ts';
import { registerLiveCheck } from './features/liveCheck/liveCheck.ts';
import { registerMakeReady } from './features/makeReady/makeReady.ts';
import { registerOutline } from './features/outline/outline.ts';
import { registerParts } from './features/parts/parts.ts';
import { registerProofPiece } from './features/proofPiece/proofPiece.ts';
import { registerProposeOpenings } from './features/proposeOpenings/proposeOpenings.ts';
import { registerProposePins } from './features/proposePins/proposePins.ts';
import { registerProposePlates } from './features/proposePlates/proposePlates.ts';
import { registerProposePose } from './features/proposePose/proposePose.ts';
import { registerProposeSplit } from './features/proposeSplit/proposeSplit.ts';
import { registerProposeSupports } from './features/proposeSupports/proposeSupports.ts';
import { registerQuickFixes } from './features/quickFixes/quickFixes.ts';
import { registerSchedule } from './features/schedule/schedule.ts';
import { registerShowLog } from './features/showLog/showLog.ts';
import { registerStartKit } from './features/startKit/startKit.ts';
import { registerStlEditor } from './features/stlEditor/stlEditor.ts';
import { registerTurntable } from './features/turntable/turntable.ts';
import { Disposables } from './host/disposables.ts';
import { createServices } from './host/services.ts';

/** To add a feature: a folder under features/ with one register function, and one line here. */
const features = [
  registerShowLog,
  registerLiveCheck,
  registerExplainFinding,
  registerCompletion,
  registerHover,
  registerCodeLens,
  registerQuickFixes,
  registerOutline,
  registerParts,
  registerStartKit,
  registerKitView,
  registerTurntable,
  registerStlEditor,
  registerProposeOpenings,
  registerProposePose,
  registerProposeSupports,
  registerProposeSplit,
  registerProposePlates,
  registerProposePins,
  registerExplainPart,
  registerSchedule,
  registerMakeReady,
  registerProofPiece,
  registerCoupon,
  registerLedger,
  registerLogPrint,
  registerAskJournal,
];

export function activate(context: vscode.ExtensionContext): void {
  const disposables = new Disposables();
  context.subscriptions.push(disposables);
  try {
    const services = createServices(context, disposables);
    for (const register of features) disposables.add(register(services));
    services.kits.found.catch((error: unknown) => services.log.error(`Looking for kits: ${error}`));
  } catch (error) {
    disposables.dispose();
    const detail = error instanceof Error ? error.message : String(error);
    void vscode.window.showErrorMessage(
      `Kitwright could not start: ${detail}. Reload the window, or install Kitwright again.`,
    );
    throw error;
  }
}

/** Everything is disposed by the extension's subscriptions. */
export function deactivate(): void {}
