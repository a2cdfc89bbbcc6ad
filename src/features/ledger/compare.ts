import * as vscode from 'vscode';
import { changesDocument } from '../../core/kit/ledger/changesDocument.ts';
import type { Ledger } from '../../core/kit/ledger/ledger.ts';
import { readLedger } from '../../core/kit/ledger/readLedger.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { showMarkdown } from '../../host/showMarkdown.ts';
import type { ChangesDocuments } from './changesDocuments.ts';
import { type GitRepository, repositoryOf } from './gitApi.ts';

const mostCommits = 100;
const withoutGit =
  'Comparing needs VS Code’s git extension, which is off or not there. Turn it on (setting “git.enabled”), or run “kitwright compare --from REVISION” on the command line.';

/** One side of a comparison. */
interface Side extends vscode.QuickPickItem {
  /** Null = the ledger in the folder. */
  readonly revision: string | null;
}

const onDisk: Side = { label: '$(file) ledger.yaml in the folder', revision: null };

/** Shows what the ledger says otherwise in two revisions of git. */
export async function compare(services: Services, documents: ChangesDocuments, kit: Kit): Promise<void> {
  const ledger = vscode.Uri.joinPath(kit.uri, '..', 'ledger.yaml');
  const repository = await repositoryOf(vscode.Uri.file(kit.dir)).catch((error: unknown) => {
    services.log.warn(`git: ${error}`);
    return 'no-git' as const;
  });
  if (repository === 'no-git') return tell(withoutGit);
  if (repository === 'no-repository') {
    return tell(
      `${kit.dir} is in no git repository that VS Code knows. Start one, record, and commit both files.`,
    );
  }
  const sides = await sidesOf(services, repository, ledger);
  const from = await pick(sides, 'Compare the ledger of which revision …');
  const to = from && (await pick([onDisk, ...sides.filter((side) => side !== from)], '… with which?'));
  if (from === undefined || to === undefined) return;
  const before = await ledgerAt(repository, ledger, from);
  const after = before && (await ledgerAt(repository, ledger, to));
  if (before === null || after === null) return;
  const names = { from: nameOf(from), to: nameOf(to) };
  const document = documents.put(kit, `${names.from} → ${names.to}`, changesDocument(before, after, names));
  await showMarkdown(services, document);
}

/** Commits that touched the ledger, the latest first, then branches and tags. */
async function sidesOf(
  { log }: Services,
  repository: GitRepository,
  ledger: vscode.Uri,
): Promise<readonly Side[]> {
  const commits = await repository
    .log({ path: ledger.fsPath, maxEntries: mostCommits })
    .catch((error: unknown) => {
      log.warn(`git log: ${error}`);
      return [];
    });
  const refs = await repository.getRefs({ sort: 'committerdate' }).catch(() => []);
  return [
    ...commits.map(({ hash, message, authorDate }) => ({
      label: `$(git-commit) ${message.split('\n', 1)[0]}`,
      description: [hash.slice(0, 8), authorDate?.toLocaleDateString()].filter(Boolean).join(', '),
      revision: hash,
    })),
    ...refs.flatMap(({ type, name }) => {
      if (name === undefined) return [];
      return [{ label: `$(${type === 2 ? 'tag' : 'git-branch'}) ${name}`, description: '', revision: name }];
    }),
  ];
}

async function pick(sides: readonly Side[], title: string): Promise<Side | undefined> {
  if (sides.length === 0) {
    tell('No revision has a ledger.yaml yet. Run “Kitwright: Record” and commit it beside kit.yaml.');
    return undefined;
  }
  return vscode.window.showQuickPick(sides, { title, matchOnDescription: true });
}

/** As it is called in the document. */
function nameOf({ label, revision }: Side): string {
  if (revision === null) return 'ledger.yaml';
  return /^[0-9a-f]{40}$/.test(revision)
    ? `${revision.slice(0, 8)} (${label.replace(/^\$\([a-z-]+\) /, '')})`
    : revision;
}

/** Null where there is none, or none that can be read, which has been told then. */
async function ledgerAt(
  repository: GitRepository,
  file: vscode.Uri,
  { revision }: Side,
): Promise<Ledger | null> {
  const where = revision === null ? 'the folder' : revision.slice(0, 40);
  let text: string;
  try {
    text =
      revision === null
        ? new TextDecoder().decode(await vscode.workspace.fs.readFile(file))
        : await repository.show(revision, file.fsPath);
  } catch {
    tell(`There is no ledger.yaml in ${where}. Run “Kitwright: Record” and commit it beside kit.yaml.`);
    return null;
  }
  const ledger = readLedger(text);
  if (ledger.ok) return ledger.value;
  tell(`In ${where}: ${ledger.error.message}`);
  return null;
}

function tell(text: string): void {
  void vscode.window.showInformationMessage(text);
}
