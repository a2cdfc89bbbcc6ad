import * as vscode from 'vscode';
import { onSetting, readConfig } from '../../host/config.ts';
import { Disposables } from '../../host/disposables.ts';
import { failureOf } from '../../host/failureText.ts';
import { commandIds, contextIds, manifestName, settingIds } from '../../host/ids.ts';
import { isManifest, type Kit, type KitChange } from '../../host/kits.ts';
import { resolveTarget } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { afterEdits, measuredFindings, type ShownFinding, shownFromReport } from '../../host/shownFinding.ts';
import type { CheckState } from '../../host/status.ts';
import type { EngineProgress } from '../../protocol/engineApi.ts';
import { CheckQueue } from './checkQueue.ts';
import { withPartFindings } from './partFindings.ts';
import { textFindings } from './textFindings.ts';

/** Keystrokes closer together than this are judged as one, so that typing never waits. */
const textDelayMs = 25;
/** Findings of parts that are done are shown this often while others are awaited; a quick check shows all at once. */
const partsDelayMs = 250;

/** Runs the text rules at every keystroke and the engine's check a moment later; fills Problems. */
export function registerLiveCheck(services: Services): vscode.Disposable {
  return new LiveCheck(services);
}

class LiveCheck implements vscode.Disposable {
  readonly #services: Services;
  readonly #disposables = new Disposables();
  readonly #queue: CheckQueue<Kit>;
  readonly #measured = new Map<Kit, readonly ShownFinding[]>();
  readonly #states = new Map<Kit, CheckState>();
  readonly #textTimers = new Map<Kit, NodeJS.Timeout>();
  readonly #checkTimers = new Map<Kit, NodeJS.Timeout>();
  readonly #partTimers = new Map<Kit, NodeJS.Timeout>();
  readonly #waiters = new Map<Kit, (() => void)[]>();

  constructor(services: Services) {
    this.#services = services;
    this.#queue = this.#disposables.add(new CheckQueue<Kit>((kit, signal) => this.#check(kit, signal)));
    const { kits } = services;
    const add = <T extends vscode.Disposable>(item: T) => this.#disposables.add(item);
    add(kits.onDidAdd((kit) => this.#added(kit)));
    add(kits.onDidChange((change) => this.#changed(change)));
    add(kits.onDidChangePartFile((kit) => this.#later(kit, true)));
    add(kits.onDidHurry((kit) => this.#hurry(kit)));
    add(kits.onDidRemove((kit) => this.#removed(kit)));
    add(vscode.workspace.onDidSaveTextDocument((document) => this.#saved(document)));
    add(vscode.workspace.onDidGrantWorkspaceTrust(() => this.#checkAll()));
    add(onSetting(settingIds.checkLive, () => this.#checkAll()));
    add(vscode.window.onDidChangeActiveTextEditor(() => this.#showStatus()));
    add(vscode.commands.registerCommand(commandIds.checkNow, (argument) => this.#checkNow(argument)));
    add(vscode.commands.registerCommand(commandIds.cancelCheck, () => this.#queue.dropAll()));
    for (const kit of kits.all()) this.#added(kit);
  }

  dispose(): void {
    for (const timers of [this.#textTimers, this.#checkTimers, this.#partTimers]) {
      for (const timer of timers.values()) clearTimeout(timer);
    }
    for (const kit of this.#waiters.keys()) this.#settle(kit);
    this.#disposables.dispose();
  }

  #added(kit: Kit): void {
    this.#publish(kit);
    this.#ask(kit, false);
  }

  #changed({ kit, changes }: KitChange): void {
    const kept = changes === null ? [] : afterEdits(this.#measured.get(kit) ?? [], manifestName, changes);
    this.#measured.set(kit, kept);
    this.#restart(this.#textTimers, kit, textDelayMs, () => this.#publish(kit));
    this.#setState(kit, { kind: 'stale' });
    const check = !kit.reportIsCurrent && (readConfig().checkLive || changes === null);
    this.#later(kit, check);
    if (check) this.#services.parts.doubt(kit);
    else if (!kit.reportIsCurrent) this.#services.parts.forget(kit);
  }

  /** The running check is about text that no longer stands: it ends now, the next one starts later. */
  #later(kit: Kit, check: boolean): void {
    this.#queue.drop(kit);
    clearTimeout(this.#checkTimers.get(kit));
    this.#checkTimers.delete(kit);
    if (!check) return;
    this.#setState(kit, checkingState(kit));
    this.#restart(this.#checkTimers, kit, readConfig().checkDelayMs, () => this.#ask(kit, true));
  }

  #hurry(kit: Kit): void {
    if (!this.#checkTimers.has(kit)) return;
    clearTimeout(this.#checkTimers.get(kit));
    this.#checkTimers.delete(kit);
    this.#ask(kit, true);
  }

  #saved(document: vscode.TextDocument): void {
    if (readConfig().checkLive || !isManifest(document.uri)) return;
    const kit = this.#services.kits.get(document.uri);
    if (kit !== null && !kit.reportIsCurrent) this.#ask(kit, true);
  }

  #removed(kit: Kit): void {
    this.#queue.drop(kit);
    for (const timers of [this.#textTimers, this.#checkTimers, this.#partTimers]) {
      clearTimeout(timers.get(kit));
      timers.delete(kit);
    }
    this.#measured.delete(kit);
    this.#states.delete(kit);
    this.#settle(kit);
    this.#services.diagnostics.clear(kit);
    this.#services.parts.forget(kit);
    this.#showStatus();
  }

  #checkAll(): void {
    for (const kit of this.#services.kits.all()) this.#ask(kit, false);
  }

  #ask(kit: Kit, urgent: boolean): void {
    if (!this.#services.engine.allowed) {
      this.#setState(kit, { kind: 'untrusted' });
      return;
    }
    this.#setState(kit, checkingState(kit));
    this.#queue.ask(kit, urgent);
  }

  async #checkNow(argument: unknown): Promise<void> {
    const kit = resolveTarget(this.#services.kits, argument)?.kit;
    if (kit === undefined) return;
    const done = new Promise<void>((resolve) => {
      this.#waiters.set(kit, [...(this.#waiters.get(kit) ?? []), resolve]);
    });
    this.#ask(kit, true);
    if (!this.#services.engine.allowed) this.#settle(kit);
    const location = vscode.ProgressLocation.Window;
    await vscode.window.withProgress({ location, title: 'Kitwright: checking' }, () => done);
  }

  async #check(kit: Kit, signal: AbortSignal): Promise<void> {
    const { engine, kits, log } = this.#services;
    const { text } = kit;
    const started = performance.now();
    try {
      const params = { ...kit.source, parts: null, noCache: false };
      const done = new Set<string>();
      const onProgress = (progress: EngineProgress) => this.#progress(kit, progress, done, signal);
      const report = await engine.call('check', params, { signal, onProgress });
      if (signal.aborted || kits.get(kit.uri) !== kit) return;
      const shown = report.findings.map(shownFromReport);
      this.#measured.set(kit, measuredFindings(shown, textFindings(kit.parsed)));
      kits.setReport(kit, report, text);
      this.#publish(kit);
      log.debug(`Checked ${kit.dir} in ${Math.round(performance.now() - started)} ms.`);
    } catch (error) {
      this.#failed(kit, error);
    } finally {
      clearTimeout(this.#partTimers.get(kit));
      this.#partTimers.delete(kit);
      if (!signal.aborted) this.#settle(kit);
      if (!this.#pending(kit)) this.#services.parts.settled(kit);
      this.#showStatus();
    }
  }

  #progress(kit: Kit, progress: EngineProgress, done: Set<string>, signal: AbortSignal): void {
    if (signal.aborted) return;
    const { part } = progress;
    if (progress.kind === 'part') {
      done.add(part);
      this.#foundOfPart(kit, progress);
      this.#services.parts.done(kit, part, progress.report);
    } else if (!done.has(part)) this.#services.parts.working(kit, part);
    const stage = progress.kind === 'stage' ? progress.stage : 'done';
    this.#setState(kit, { ...checkingState(kit), partsDone: done.size, part, stage });
  }

  #foundOfPart(kit: Kit, { part, findings }: Extract<EngineProgress, { kind: 'part' }>): void {
    const before = this.#measured.get(kit) ?? [];
    this.#measured.set(kit, withPartFindings(before, part, findings, textFindings(kit.parsed)));
    if (kit.reportIsCurrent || this.#partTimers.has(kit)) return;
    this.#restart(this.#partTimers, kit, partsDelayMs, () => this.#publish(kit));
  }

  #failed(kit: Kit, error: unknown): void {
    const failure = failureOf(error);
    if (failure === null) {
      this.#cancelled(kit);
      return;
    }
    this.#services.log.error(`${kit.dir}: ${failure.code}: ${failure.message}`);
    this.#setState(kit, { kind: 'failed', failure });
  }

  #cancelled(kit: Kit): void {
    if (this.#pending(kit)) return;
    this.#setState(kit, kit.reportIsCurrent ? this.#counts(kit) : { kind: 'stale' });
  }

  #pending(kit: Kit): boolean {
    return this.#checkTimers.has(kit) || this.#queue.waits(kit);
  }

  #publish(kit: Kit): void {
    const { report } = kit;
    const findings =
      report !== null && kit.reportIsCurrent
        ? report.value.findings.map(shownFromReport)
        : [...textFindings(kit.parsed), ...(this.#measured.get(kit) ?? [])];
    this.#services.diagnostics.publish(kit, findings);
    if (kit.reportIsCurrent) this.#setState(kit, this.#counts(kit));
  }

  #counts(kit: Kit): CheckState {
    const findings = this.#services.diagnostics.of(kit);
    const count = (severity: ShownFinding['severity']) =>
      findings.filter((finding) => finding.severity === severity).length;
    return { kind: 'done', errors: count('error'), warnings: count('warning') };
  }

  #setState(kit: Kit, state: CheckState): void {
    this.#states.set(kit, state);
    this.#showStatus();
  }

  #showStatus(): void {
    const kit = this.#services.kits.active();
    this.#services.status.show((kit === null ? undefined : this.#states.get(kit)) ?? { kind: 'none' });
    void vscode.commands.executeCommand('setContext', contextIds.checking, !this.#queue.idle);
  }

  #settle(kit: Kit): void {
    for (const resolve of this.#waiters.get(kit) ?? []) resolve();
    this.#waiters.delete(kit);
  }

  #restart(timers: Map<Kit, NodeJS.Timeout>, kit: Kit, delayMs: number, run: () => void): void {
    clearTimeout(timers.get(kit));
    timers.set(
      kit,
      setTimeout(() => {
        timers.delete(kit);
        run();
      }, delayMs),
    );
  }
}

function checkingState(kit: Kit): Extract<CheckState, { kind: 'checking' }> {
  return { kind: 'checking', partsDone: 0, parts: kit.parts.length, part: '', stage: '' };
}
