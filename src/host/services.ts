import * as vscode from 'vscode';
import { DiagnosticsService } from './diagnostics.ts';
import type { Disposables } from './disposables.ts';
import { EngineService } from './engineService.ts';
import { KitService } from './kits.ts';
import { PartResults } from './partResults.ts';
import { PartStates } from './partStates.ts';
import { PoseProposals } from './poseProposals.ts';
import { StatusService } from './status.ts';

/** What every feature may use. Each is made once per window and disposed with the extension. */
export interface Services {
  readonly context: vscode.ExtensionContext;
  readonly log: vscode.LogOutputChannel;
  readonly engine: EngineService;
  readonly kits: KitService;
  readonly diagnostics: DiagnosticsService;
  readonly parts: PartResults;
  readonly states: PartStates;
  readonly status: StatusService;
  readonly poses: PoseProposals;
}

export function createServices(context: vscode.ExtensionContext, disposables: Disposables): Services {
  const log = disposables.add(vscode.window.createOutputChannel('Kitwright', { log: true }));
  const kits = disposables.add(new KitService());
  const diagnostics = disposables.add(new DiagnosticsService());
  const parts = disposables.add(new PartResults());
  return {
    context,
    log,
    engine: disposables.add(new EngineService(context.extensionUri, log)),
    kits,
    diagnostics,
    parts,
    states: disposables.add(new PartStates(kits, diagnostics, parts)),
    status: disposables.add(new StatusService()),
    poses: disposables.add(new PoseProposals()),
  };
}
