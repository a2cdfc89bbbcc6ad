import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import type { FailureCode } from '../core/result.ts';
import type { Vec3 } from '../core/vector.ts';
import { RpcError } from '../protocol/rpc.ts';

/** Options that every command has, for `util.parseArgs`. */
export const commonOptions = {
  json: { type: 'boolean', default: false },
  'no-cache': { type: 'boolean', default: false },
} as const;

/** Refuses an argument with a sentence; ends the command with exit code 2. */
export function refuse(message: string, code: FailureCode = 'option-invalid'): never {
  throw new RpcError({ code, message });
}

/** The kit folder named by at most one argument, or the current folder. */
export function kitFolder(positionals: readonly string[]): string {
  if (positionals.length > 1)
    refuse(`One kit folder at a time, not ${positionals.length}: ${positionals.join(', ')}.`);
  const folder = resolve(positionals[0] ?? '.');
  if (!existsSync(resolve(folder, 'kit.yaml'))) {
    refuse(`${folder} has no kit.yaml. Name a kit folder, or go into one.`, 'manifest-unreadable');
  }
  return folder;
}

export function numberOption(
  name: string,
  text: string | undefined,
  fallback: number,
  range: { above: number; below: number },
): number {
  if (text === undefined) return fallback;
  const value = Number(text);
  if (text.trim() === '' || !(value > range.above && value < range.below)) {
    refuse(`--${name} takes a number above ${range.above} and below ${range.below}, not \`${text}\`.`);
  }
  return value;
}

/** `--turn -90,0,0` as `--turn=-90,0,0`: `util.parseArgs` takes what starts with a dash for an option. */
export function attachNegatives(args: readonly string[]): string[] {
  const attached: string[] = [];
  for (const arg of args) {
    const last = attached.at(-1);
    if (/^-[\d.]/.test(arg) && last !== undefined && /^--[a-z-]+$/.test(last))
      attached.push(`${attached.pop()}=${arg}`);
    else attached.push(arg);
  }
  return attached;
}

export function turnOption(text: string | undefined): Vec3 {
  if (text === undefined) return [0, 0, 0];
  return (
    threeNumbers(text, 360) ?? refuse(`--turn takes three angles in degrees like 0,30,90, not \`${text}\`.`)
  );
}

/** `1,2,3`, none beyond `most`; null when it is anything else. */
export function threeNumbers(text: string, most: number): Vec3 | null {
  const values = text.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
  const isGood = values.length === 3 && values.every((value) => Math.abs(value) <= most);
  return isGood ? [values[0]!, values[1]!, values[2]!] : null;
}
