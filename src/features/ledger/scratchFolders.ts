import { mkdtempSync, rmSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import type * as vscode from 'vscode';

/** Folders for what a revision holds and the working tree does not. What is still in one goes with the window. */
export class ScratchFolders implements vscode.Disposable {
  #root: string | null = null;

  /** Absolute path of a new, empty one. */
  async make(): Promise<string> {
    this.#root ??= mkdtempSync(path.join(os.tmpdir(), 'kitwright-revisions-'));
    return mkdtemp(path.join(this.#root, 'part-'));
  }

  dispose(): void {
    if (this.#root !== null) rmSync(this.#root, { recursive: true, force: true, maxRetries: 3 });
    this.#root = null;
  }
}
