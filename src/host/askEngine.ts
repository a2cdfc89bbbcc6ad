import * as vscode from 'vscode';
import type { EngineProgress } from '../protocol/engineApi.ts';
import { failureOf, failureText } from './failureText.ts';
import type { Services } from './services.ts';
import { withEngineProgress } from './withEngineProgress.ts';

/**
 * Asks the engine something about a kit, with progress and a cancel. Undefined when there is no answer:
 * the folder is not trusted or the engine failed, which the person has been told then, or it was cancelled.
 */
export async function askEngine<T>(
  { engine, log }: Pick<Services, 'engine' | 'log'>,
  /** Whose folder a failure is logged with. */
  kit: { readonly dir: string },
  title: string,
  ask: (signal: AbortSignal, onProgress: (value: EngineProgress) => void) => Promise<T>,
): Promise<T | undefined> {
  if (!engine.allowed) {
    void vscode.window.showInformationMessage(
      'This folder is not trusted: its parts are not read, and nothing is written into it.',
    );
    return undefined;
  }
  try {
    return await withEngineProgress(title, ask);
  } catch (error) {
    const failure = failureOf(error);
    if (failure === null) return undefined;
    log.error(`${kit.dir}: ${failure.code}: ${failure.message}`);
    const showLog = 'Show Log';
    void vscode.window.showErrorMessage(failureText(failure), showLog).then((answer) => {
      if (answer === showLog) log.show(true);
    });
    return undefined;
  }
}
