import path from 'node:path';
import * as vscode from 'vscode';
import { openingPath } from '../../core/kit/openingPath.ts';
import { readConfig } from '../../host/config.ts';
import { toRange } from '../../host/diagnostics.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { type KitTarget, partAtCursor, targetOf } from '../../host/kitTarget.ts';
import { numberedFlags } from '../../host/numberedFlags.ts';
import type { ProposedPoses } from '../../host/poseProposals.ts';
import { revealManifest, toVsCodeRange } from '../../host/revealManifest.ts';
import type { Services } from '../../host/services.ts';
import { takePose } from '../../host/takePose.ts';
import { TurntableView } from '../../host/turntableView.ts';
import type { PartView } from '../../protocol/partView.ts';
import { RpcError } from '../../protocol/rpc.ts';
import type { Done } from '../../protocol/viewMessages.ts';
import { manifestGestures } from './manifestGestures.ts';

const memoryPrefix = 'turntable:';

/** The turntable of one kit: which part it shows, and when it is computed again. */
export class TurntablePanel implements vscode.Disposable {
  readonly #services: Services;
  readonly #panel: vscode.WebviewPanel;
  readonly #kit: Kit;
  readonly #view: TurntableView;
  readonly #disposables = new Disposables();
  #part: string | null = null;
  #poses: ProposedPoses | null = null;
  #refreshTimer: NodeJS.Timeout | undefined;

  constructor(services: Services, panel: vscode.WebviewPanel, kit: Kit) {
    this.#services = services;
    this.#panel = panel;
    this.#kit = kit;
    this.#view = this.#disposables.add(
      new TurntableView(services, panel.webview, 'Turntable', {
        revealFinding: (number) => this.#revealFinding(number),
        revealOpening: (id) => this.#revealOpening(id),
        makeReady: () => this.#makeReady(),
        edit: {
          ...manifestGestures(services, kit, () => this.#view.scene),
          takePose: ({ part, number }) => this.#takePose(part, number),
        },
        closePoses: () => this.#closePoses(),
        looked: () => {},
      }),
    );
    this.#disposables.add(
      panel.onDidChangeViewState(() => {
        if (!panel.visible) this.#view.pageIsGone();
      }),
    );
  }

  /** What a panel of that title showed before the window was reloaded. */
  static remembered(context: vscode.ExtensionContext, title: string): KitTarget | null {
    return context.workspaceState.get<KitTarget>(memoryPrefix + title) ?? null;
  }

  /** Shows the part (null: the one shown, else the first) and brings the panel to the front. */
  show(part: string | null): void {
    this.#panel.reveal(undefined, true);
    this.follow(part ?? this.#part ?? this.#kit.parts[0]?.name ?? null);
  }

  follow(part: string | null): void {
    if (part === this.#part && this.#view.state.kind !== 'failure' && this.#view.state.kind !== 'empty')
      return;
    this.#part = part;
    this.#panel.title = this.#title(part);
    const { workspaceState } = this.#services.context;
    void workspaceState.update(memoryPrefix + this.#panel.title, targetOf(this.#kit, part));
    this.#refresh();
  }

  /** Poses to choose from, in front of the builder, who has just asked for them. */
  showPoses(poses: ProposedPoses): void {
    this.#poses = poses;
    this.#panel.reveal(undefined, false);
    this.follow(poses.part);
    this.#tellPoses(true);
  }

  revealFlag(number: number): void {
    this.#view.revealFlag(number);
  }

  refreshSoon(): void {
    clearTimeout(this.#refreshTimer);
    this.#refreshTimer = setTimeout(() => this.#refresh(), readConfig().checkDelayMs);
  }

  /** A waiting refresh goes now. */
  refreshNow(): void {
    if (this.#refreshTimer !== undefined) this.#refresh();
  }

  /** The numbers in Problems have changed: the flags take them over. */
  findingsChanged(): void {
    this.#view.dressAgain();
  }

  kitIsGone(): void {
    clearTimeout(this.#refreshTimer);
    this.#view.tell({ kind: 'empty', hint: 'The kit.yaml of this turntable is no longer there.' });
  }

  dispose(): void {
    clearTimeout(this.#refreshTimer);
    this.#disposables.dispose();
    this.#panel.dispose();
  }

  /** They stay with their part, whatever else is looked at meanwhile. */
  #tellPoses(focus: boolean): void {
    const poses = this.#poses;
    const part = this.#kit.parts.find(({ name }) => name === poses?.part);
    if (poses === null || part === undefined || part.name !== this.#part) {
      this.#view.tellPoses(null, false);
      return;
    }
    const at = poses.report.poses.findIndex(({ turn }) => turn.join() === part.turn.join());
    this.#view.tellPoses({ ...poses, taken: at < 0 ? null : at + 1 }, focus);
  }

  #closePoses(): void {
    this.#poses = null;
    this.#view.tellPoses(null, false);
  }

  async #takePose(part: string, number: number): Promise<Done> {
    const pose = this.#poses?.part === part ? this.#poses.report.poses[number - 1] : undefined;
    if (pose === undefined)
      throw new RpcError({ code: 'cancelled', message: 'These poses are no longer shown.' });
    await takePose(this.#services, this.#kit, part, pose);
    return { said: `Pose ${number} of ${part} is in kit.yaml now; undo there takes it back.` };
  }

  #refresh(): void {
    clearTimeout(this.#refreshTimer);
    this.#refreshTimer = undefined;
    this.#tellPoses(false);
    const part = this.#part;
    if (part === null || !this.#kit.parts.some(({ name }) => name === part)) {
      // Renamed, or cut in two: the builder's cursor is in what has come in its place.
      const instead = partAtCursor(this.#kit);
      if (instead !== null && instead !== part) {
        this.follow(instead);
        return;
      }
      this.#view.tell({ kind: 'empty', hint: hintFor(part) });
      return;
    }
    void this.#view.load({
      name: part,
      source: { of: 'kit', part, ...this.#kit.source },
      editable: true,
      dress: (view) => this.#numbered(view),
    });
  }

  /** Flags carry the numbers of Problems; one that has none there yet waits for the report. */
  #numbered(view: PartView): PartView {
    const findings = this.#services.diagnostics.of(this.#kit).filter((finding) => finding.part === view.part);
    return { ...view, flags: numberedFlags(view.flags, findings) };
  }

  #title(part: string | null): string {
    const what = part === null ? 'Turntable' : `Turntable: ${part}`;
    return this.#services.kits.all().length > 1 ? `${what} (${path.basename(this.#kit.dir)})` : what;
  }

  #revealFinding(number: number): void {
    const finding = this.#services.diagnostics.of(this.#kit).find((shown) => shown.number === number);
    if (finding !== undefined) void revealManifest(this.#kit, toRange(finding));
  }

  #revealOpening(id: string): void {
    if (this.#part === null) return;
    const range = this.#kit.parsed.rangeOf(openingPath(this.#part, id));
    void revealManifest(this.#kit, toVsCodeRange(range));
  }

  #makeReady(): void {
    void vscode.commands.executeCommand(commandIds.makeReady, targetOf(this.#kit, this.#part));
  }
}

function hintFor(part: string | null): string {
  return part === null
    ? 'The kit has no parts yet. Add one under “parts:” in kit.yaml.'
    : `kit.yaml has no part “${part}” any more. Put the cursor into another part.`;
}
