import * as vscode from 'vscode';
import type { Ledger } from '../../core/kit/ledger/ledger.ts';
import { readLedger } from '../../core/kit/ledger/readLedger.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { type GitRepository, repositoryOf } from './gitApi.ts';

const mostCommits = 100;
const withoutGit =
  'Comparing needs VS Code’s git extension, which is off or not there. Turn it on (setting “git.enabled”), or run “kitwright compare --from REVISION” on the command line.';

/** One side of a comparison. */
export interface Side {
  /** Null = what lies in the folder. */
  readonly revision: string | null;
  /** As it is called in a sentence, and on a tab. */
  readonly name: string;
  readonly short: string;
  readonly ledger: Ledger;
}

export interface ChosenSides {
  readonly repository: GitRepository;
  readonly from: Side;
  readonly to: Side;
}

interface SideItem extends vscode.QuickPickItem {
  readonly revision: string | null;
}

const onDisk: SideItem = { label: '$(file) ledger.yaml in the folder', revision: null };

/** Two revisions to compare, as the builder chooses them; null when they are not to be had, which has been told then. */
export async function chooseSides(services: Services, kit: Kit): Promise<ChosenSides | null> {
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
  const items = await itemsOf(services, repository, ledger);
  const from = await pick(items, 'Compare the ledger of which revision …');
  const to = from && (await pick([onDisk, ...items.filter((item) => item !== from)], '… with which?'));
  if (from === undefined || to === undefined) return null;
  const before = await sideOf(repository, ledger, from);
  const after = before && (await sideOf(repository, ledger, to));
  return before === null || after === null ? null : { repository, from: before, to: after };
}

/** Commits that touched the ledger, the latest first, then branches and tags. */
async function itemsOf(
  { log }: Services,
  repository: GitRepository,
  ledger: vscode.Uri,
): Promise<readonly SideItem[]> {
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

async function pick(items: readonly SideItem[], title: string): Promise<SideItem | undefined> {
  if (items.length === 0) {
    tell('No revision has a ledger.yaml yet. Run “Kitwright: Record” and commit it beside kit.yaml.');
    return undefined;
  }
  return vscode.window.showQuickPick(items, { title, matchOnDescription: true });
}

function namesOf({ label, revision }: SideItem): Pick<Side, 'name' | 'short'> {
  if (revision === null) return { name: 'ledger.yaml', short: 'in the folder' };
  if (!/^[0-9a-f]{40}$/.test(revision)) return { name: revision, short: revision };
  const short = revision.slice(0, 8);
  return { name: `${short} (${label.replace(/^\$\([a-z-]+\) /, '')})`, short };
}

/** Null where there is no ledger, or none that can be read, which has been told then. */
async function sideOf(repository: GitRepository, file: vscode.Uri, item: SideItem): Promise<Side | null> {
  const { revision } = item;
  const where = revision === null ? 'the folder' : revision.slice(0, 40);
  let text: string;
  try {
    text =
      revision === null
        ? new TextDecoder().decode(await vscode.workspace.fs.readFile(file))
        : await repository.show(revision, file.fsPath);
  } catch {
    return tell(
      `There is no ledger.yaml in ${where}. Run “Kitwright: Record” and commit it beside kit.yaml.`,
    );
  }
  const ledger = readLedger(text);
  if (!ledger.ok) return tell(`In ${where}: ${ledger.error.message}`);
  return { revision, ...namesOf(item), ledger: ledger.value };
}

function tell(text: string): null {
  void vscode.window.showInformationMessage(text);
  return null;
}
