import { execFile } from 'node:child_process';
import { readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { parseArgs, promisify } from 'node:util';
import { changeText, compareLedgers } from '../core/kit/ledger/compareLedgers.ts';
import type { Ledger } from '../core/kit/ledger/ledger.ts';
import { readLedger } from '../core/kit/ledger/readLedger.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

const run = promisify(execFile);
const mostBytes = 16 * 2 ** 20;
/** A kit comes from anywhere: no program of its folder is run, and nothing is fetched by what its repository says. */
const careful = { NoDefaultCurrentDirectoryInExePath: '1', GIT_NO_LAZY_FETCH: '1', GIT_ALLOW_PROTOCOL: '' };

/** `kitwright compare [KIT] [--from REVISION] [--to REVISION] [--json]` */
export async function compare(args: string[], { terminal, signal }: CommandContext): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, from: { type: 'string', default: 'HEAD' }, to: { type: 'string' } },
  });
  const kitDir = kitFolder(positionals);
  const from = await ledgerAt(kitDir, values.from, signal);
  const to = await ledgerAt(kitDir, values.to ?? null, signal);
  const changes = compareLedgers(from, to);
  const names = { from: values.from, to: values.to ?? 'ledger.yaml' };
  terminal.print(
    values.json
      ? `${JSON.stringify({ kit: to.kit, ...names, changes }, null, 2)}\n`
      : `${humanReport(
          changes.map((change) => changeText(change, to.kit)),
          names,
        )}\n`,
  );
  return exitCodes.clean;
}

const humanReport = (lines: readonly string[], { from, to }: { from: string; to: string }): string =>
  lines.length === 0 ? `Nothing differs between ${from} and ${to}.` : lines.join('\n');

/** The ledger as a revision has it, or as it lies in the folder where none is named. */
async function ledgerAt(kitDir: string, revision: string | null, signal: AbortSignal): Promise<Ledger> {
  const text = revision === null ? await ledgerFile(kitDir) : await ofRevision(kitDir, revision, signal);
  const ledger = readLedger(text);
  if (!ledger.ok) refuse(ledger.error.message, ledger.error.code);
  return ledger.value;
}

async function ledgerFile(kitDir: string): Promise<string> {
  const path = join(kitDir, 'ledger.yaml');
  try {
    const { size } = await stat(path);
    if (size <= mostBytes) return await readFile(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT')
      refuse(`${kitDir} has no ledger.yaml. Record one: kitwright record.`, 'ledger-missing');
  }
  return refuse(`${path} cannot be read. Move it away and record again.`, 'ledger-unreadable');
}

async function ofRevision(kitDir: string, revision: string, signal: AbortSignal): Promise<string> {
  if (revision === '' || revision.startsWith('-') || revision.includes(':'))
    refuse(`\`${revision}\` is no revision; name a commit, a branch or a tag.`);
  try {
    const { stdout } = await run('git', ['-C', kitDir, 'show', `${revision}:./ledger.yaml`], {
      signal,
      maxBuffer: mostBytes,
      env: { ...process.env, ...careful },
    });
    return stdout;
  } catch (error) {
    if (signal.aborted) throw error;
    const { code, stderr } = error as { code?: string | number; stderr?: string };
    const why = code === 'ENOENT' ? 'git is not installed' : (stderr ?? '').trim().split('\n')[0];
    return refuse(`There is no ledger.yaml in ${revision}: ${why || 'git failed'}.`, 'revision-unknown');
  }
}
