import { parseArgs } from 'node:util';
import type { KitPins } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright propose pins [KIT] [--write] [--json]` */
export async function proposePins(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, write: { type: 'boolean', default: false } },
  });
  const params = {
    kitDir: kitFolder(positionals),
    manifestText: null,
    write: values.write,
    noCache: values['no-cache'],
  };
  const proposal = await engine.call('proposePins', params, { signal, onProgress: terminal.progress });
  const { manifestText: _, ...told } = proposal;
  terminal.print(values.json ? `${JSON.stringify(told, null, 2)}\n` : humanReport(proposal, values.write));
  return proposal.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, pins, left, not_weighed, failed }: KitPins, written: boolean): string {
  const rows = pins.flatMap(({ joint, rod_mm, bore_mm, depth_mm, holes }) => [
    `  ${joint}: a rod of ${rod_mm} mm in holes of ${bore_mm} mm, each ${depth_mm} mm deep`,
    ...holes.map(
      ({ part, at_source, toward_source }) =>
        `    ${part}: at [${at_source.join(', ')}], toward [${toward_source.join(', ')}]`,
    ),
  ]);
  const none = pins.length + left.length === 0 ? ['  No joint of kit.yaml has a pin.'] : [];
  return [
    `${kit}: holes for pins`,
    ...rows,
    ...left.map(({ joint, message }) => `  ${joint}: none, ${message}`),
    ...none,
    ...(pins.length > 0 && not_weighed.length > 0
      ? [`  Not weighed: ${not_weighed.join(', ')}; more may hang on the pins.`]
      : []),
    ...(failed === null ? [] : [failed]),
    ...(written && failed === null && pins.length > 0 ? ['They stand in kit.yaml.'] : []),
    '',
  ].join('\n');
}
