import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { couponAdvice, couponText } from '../core/trueSize/couponText.ts';
import { parseCouponMeasures } from '../core/trueSize/parseCouponMeasures.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/**
 * `kitwright coupon [KIT] [--out DIR] [--format stl|3mf] [--json]`, and
 * `kitwright coupon [KIT] --measured x=…,y=…,z=…,foot=…,hole=… [--resin NAME] [--write] [--json]`
 */
export async function coupon(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      measured: { type: 'string' },
      resin: { type: 'string' },
      write: { type: 'boolean', default: false },
      out: { type: 'string' },
      format: { type: 'string', default: 'stl' },
    },
  });
  const { measured, format, json } = values;
  const source = { kitDir: kitFolder(positionals), manifestText: null };
  if (measured === undefined) {
    if (format !== 'stl' && format !== '3mf') refuse(`--format takes stl or 3mf, not \`${format}\`.`);
    if (values.write || values.resin !== undefined) refuse('--resin and --write go with --measured.');
    const out = values.out === undefined ? null : resolve(values.out);
    const file = await engine.call('coupon', { ...source, out, format }, { signal });
    const text = [`${file.file} (${file.volume_ml.toFixed(1)} ml)`, ...couponAdvice, ''].join('\n');
    terminal.print(json ? `${JSON.stringify(file, null, 2)}\n` : text);
    return exitCodes.clean;
  }
  const measures = parseCouponMeasures(measured);
  if (!measures.ok) return refuse(measures.error.message);
  const params = { ...source, resin: values.resin ?? null, measures: measures.value, write: values.write };
  const { resin, reading } = await engine.call('readCoupon', params, { signal });
  const written = values.write ? ['Written into kit.yaml.'] : [];
  const text = [couponText(resin, reading), ...written, ''].join('\n');
  terminal.print(json ? `${JSON.stringify({ resin, ...reading }, null, 2)}\n` : text);
  return exitCodes.clean;
}
