import * as vscode from 'vscode';

/** What is used of the API (version 1) of VS Code's git extension. */
export interface GitRepository {
  /** The text of a file as a revision has it; throws when it has none. */
  show(revision: string, path: string): Promise<string>;
  /** The bytes of a file as a revision has it; throws when it has none. */
  buffer(revision: string, path: string): Promise<Uint8Array>;
  /** How large it is there, bytes. */
  getObjectDetails(revision: string, path: string): Promise<{ readonly size: number }>;
  log(options: { readonly path: string; readonly maxEntries: number }): Promise<readonly GitCommit[]>;
  getRefs(query: { readonly sort?: 'alphabetically' | 'committerdate' }): Promise<readonly GitRef[]>;
}

export interface GitCommit {
  readonly hash: string;
  readonly message: string;
  readonly authorDate?: Date;
}

export interface GitRef {
  /** 0 branch, 1 branch of a remote, 2 tag. */
  readonly type: number;
  readonly name?: string;
  readonly commit?: string;
}

interface GitApi {
  readonly state: 'uninitialized' | 'initialized';
  readonly onDidChangeState: vscode.Event<'uninitialized' | 'initialized'>;
  getRepository(uri: vscode.Uri): GitRepository | null;
  openRepository(root: vscode.Uri): Promise<GitRepository | null>;
}

interface GitExtension {
  readonly enabled: boolean;
  getAPI(version: 1): GitApi;
}

/** A repository, or why there is none to be had. */
export type FoundRepository = GitRepository | 'no-git' | 'no-repository';

const initialisedWithinMs = 10_000;

/** The repository that holds a folder, as VS Code's git extension knows it. */
export async function repositoryOf(folder: vscode.Uri): Promise<FoundRepository> {
  const extension = vscode.extensions.getExtension<GitExtension>('vscode.git');
  if (extension === undefined) return 'no-git';
  const git = await extension.activate();
  if (!git.enabled) return 'no-git';
  const api = git.getAPI(1);
  await initialised(api);
  return api.getRepository(folder) ?? (await api.openRepository(folder)) ?? 'no-repository';
}

function initialised(api: GitApi): Promise<void> {
  if (api.state === 'initialized') return Promise.resolve();
  return new Promise((resolve) => {
    const done = (): void => {
      clearTimeout(timer);
      subscription.dispose();
      resolve();
    };
    const timer = setTimeout(done, initialisedWithinMs);
    const subscription = api.onDidChangeState((state) => {
      if (state === 'initialized') done();
    });
  });
}
