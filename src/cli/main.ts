#!/usr/bin/env node
import { fileURLToPath } from 'node:url';
import { CancelledError } from '../core/interrupter.ts';
import type { Failure } from '../core/result.ts';
import { RpcError, toFailure } from '../protocol/rpc.ts';
import { startEngine } from '../worker/engineClient.ts';
import { check } from './check.ts';
import { compare } from './compare.ts';
import { coupon } from './coupon.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { explain } from './explain.ts';
import { inspect } from './inspect.ts';
import { joints } from './joints.ts';
import { journal } from './journal.ts';
import { layers } from './layers.ts';
import { logPrint } from './logPrint.ts';
import { makeReady } from './makeReady.ts';
import { attachNegatives } from './options.ts';
import { proof } from './proof.ts';
import { propose } from './propose.ts';
import { record } from './record.ts';
import { scale } from './scale.ts';
import { schedule } from './schedule.ts';
import { start } from './start.ts';
import { type CommandContext, openTerminal } from './terminal.ts';
import { usage } from './usage.ts';

/** A command takes its own arguments and answers with the process's exit code. */
type Command = (args: string[], context: CommandContext) => Promise<ExitCode>;

const commands: Record<string, Command> = {
  check,
  compare,
  coupon,
  explain,
  inspect,
  joints,
  journal,
  layers,
  'log-print': logPrint,
  'make-ready': makeReady,
  proof,
  propose,
  record,
  scale,
  start,
  schedule,
};

async function main(args: string[]): Promise<ExitCode> {
  const [name = 'help', ...rest] = args;
  if (name === 'help' || name === '--help' || rest.includes('--help')) {
    process.stdout.write(usage);
    return exitCodes.clean;
  }
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  const terminal = openTerminal();
  if (command === undefined) {
    terminal.fail(
      { code: 'option-invalid', message: `There is no command \`${name}\`.\n${usage}` },
      args.includes('--json'),
    );
    return exitCodes.couldNotRun;
  }
  const engine = startEngine(fileURLToPath(new URL('./engine.mjs', import.meta.url)), {
    onLog: (text) => process.stderr.write(text),
  });
  const cancel = new AbortController();
  const interrupted = () => cancel.abort();
  process.on('SIGINT', interrupted);
  process.on('SIGTERM', interrupted);
  try {
    return await command(attachNegatives(rest), { engine, terminal, signal: cancel.signal });
  } catch (error) {
    // A terminal interrupts the engine as well; whatever it said last, the work was cancelled.
    const reason = cancel.signal.aborted ? toFailure(new CancelledError()) : failureOf(error);
    terminal.fail(reason, args.includes('--json'));
    return reason.code === 'cancelled' ? exitCodes.cancelled : exitCodes.couldNotRun;
  } finally {
    engine.dispose();
  }
}

function failureOf(error: unknown): Failure {
  if (error instanceof RpcError) return error.failure;
  // util.parseArgs throws TypeErrors with such a code for options it does not know.
  if (
    error instanceof TypeError &&
    String((error as NodeJS.ErrnoException).code).startsWith('ERR_PARSE_ARGS')
  ) {
    return { code: 'option-invalid', message: `${error.message} See \`kitwright help\`.` };
  }
  return toFailure(error);
}

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of a pipe went away (`| head`): nothing more can be said.
  if (error.code === 'EPIPE') process.exit(exitCodes.clean);
  process.stderr.write(`kitwright: file-unwritable: The output cannot be written (${error.code}).\n`);
  process.exit(exitCodes.couldNotRun);
});
main(process.argv.slice(2)).then((code) => {
  process.exitCode = code;
});
