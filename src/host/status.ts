import * as vscode from 'vscode';
import type { Failure } from '../core/result.ts';
import { failureText } from './failureText.ts';
import { commandIds } from './ids.ts';

export type CheckState =
  | { readonly kind: 'none' }
  | ({ readonly kind: 'checking' } & CheckProgress)
  | { readonly kind: 'done'; readonly errors: number; readonly warnings: number }
  | { readonly kind: 'stale' }
  | { readonly kind: 'untrusted' }
  | { readonly kind: 'failed'; readonly failure: Failure };

export interface CheckProgress {
  readonly partsDone: number;
  readonly parts: number;
  /** What was heard of last: parts are worked on side by side. */
  readonly part: string;
  readonly stage: string;
}

interface Look {
  readonly text: string;
  readonly tooltip: string;
  readonly command: string;
}

const openProblems = 'workbench.actions.view.problems';

/** The status bar's one entry: what the check does, then what it found. */
export class StatusService implements vscode.Disposable {
  readonly #item: vscode.StatusBarItem;

  constructor() {
    this.#item = vscode.window.createStatusBarItem('kitwright.check', vscode.StatusBarAlignment.Left, 10);
    this.#item.name = 'Kitwright';
  }

  show(state: CheckState): void {
    if (state.kind === 'none') {
      this.#item.hide();
      return;
    }
    const { text, tooltip, command } = lookOf(state);
    this.#item.text = text;
    this.#item.tooltip = tooltip;
    this.#item.command = command;
    this.#item.accessibilityInformation = { label: `Kitwright: ${tooltip}`, role: 'button' };
    this.#item.show();
  }

  dispose(): void {
    this.#item.dispose();
  }
}

function lookOf(state: Exclude<CheckState, { kind: 'none' }>): Look {
  switch (state.kind) {
    case 'checking': {
      const share = `${state.partsDone} of ${plural(state.parts, 'part')}`;
      const now = state.part === '' ? '' : `, now ${state.part}: ${state.stage}`;
      return {
        text: `$(sync~spin) Kit: checking… ${state.partsDone}/${state.parts}`,
        tooltip: `Checking, ${share} done${now}`,
        command: openProblems,
      };
    }
    case 'done': {
      const counts = `${plural(state.errors, 'error')}, ${plural(state.warnings, 'warning')}`;
      const clean = state.errors + state.warnings === 0;
      return {
        text: clean ? '$(pass) Kit: no findings' : `$(checklist) Kit: ${counts}`,
        tooltip: clean ? 'The kit is checked: no errors, no warnings' : `The kit is checked: ${counts}`,
        command: openProblems,
      };
    }
    case 'stale':
      return {
        text: '$(history) Kit: not checked',
        tooltip: 'The kit has changed since its parts were checked. Click to check now.',
        command: commandIds.checkNow,
      };
    case 'untrusted':
      return {
        text: '$(shield) Kit: text only',
        tooltip: 'The folder is not trusted, so parts are not read. Click to manage trust.',
        command: 'workbench.trust.manage',
      };
    case 'failed':
      return {
        text: '$(warning) Kit: not checked',
        tooltip: `${failureText(state.failure)} Click for the log.`,
        command: commandIds.showLog,
      };
  }
}

function plural(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`;
}
