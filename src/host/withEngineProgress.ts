import * as vscode from 'vscode';
import type { EngineProgress } from '../protocol/engineApi.ts';

/** Shows a job of the engine as a notification that can be cancelled. */
export function withEngineProgress<T>(
  title: string,
  run: (signal: AbortSignal, onProgress: (value: EngineProgress) => void) => Promise<T>,
): Thenable<T> {
  const options = { location: vscode.ProgressLocation.Notification, title, cancellable: true };
  return vscode.window.withProgress(options, async (progress, token) => {
    const controller = new AbortController();
    const subscription = token.onCancellationRequested(() => controller.abort());
    try {
      return await run(controller.signal, (value) => {
        if (value.kind !== 'stage') return;
        progress.report({ message: `${value.part}: ${value.stage} ${Math.round(value.fraction * 100)} %` });
      });
    } finally {
      subscription.dispose();
    }
  });
}
