import { randomUUID } from 'node:crypto';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import * as vscode from 'vscode';
import { failure, type Result, success } from '../../core/result.ts';

/** A path that the engine can read. `dispose` removes it when it is a copy. */
export interface LocalCopy extends vscode.Disposable {
  readonly path: string;
}

/** Above this a document that is not on disk is not copied: it would pass through memory whole. */
const mostCopiedBytes = 512 * 1024 * 1024;

/** The document's own path, or a copy in `folder` when it lives elsewhere (a commit, an archive). */
export async function localCopy(uri: vscode.Uri, folder: vscode.Uri): Promise<Result<LocalCopy>> {
  if (uri.scheme === 'file') return success({ path: uri.fsPath, dispose: () => {} });
  try {
    const { size } = await vscode.workspace.fs.stat(uri);
    if (size > mostCopiedBytes) {
      return failure(
        'file-too-large',
        `This version of the file has ${size} bytes, too many to be copied for viewing. Check it out and open it from disk.`,
      );
    }
    const bytes = await vscode.workspace.fs.readFile(uri);
    await mkdir(folder.fsPath, { recursive: true });
    const copy = path.join(folder.fsPath, `view-${randomUUID()}.stl`);
    await writeFile(copy, bytes);
    return success({ path: copy, dispose: () => void rm(copy, { force: true }).catch(() => {}) });
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    return failure(
      'file-unreadable',
      `This version of the file cannot be read: ${detail}. Open the file from disk instead.`,
    );
  }
}
