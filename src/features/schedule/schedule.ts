import * as vscode from 'vscode';
import { askEngine } from '../../host/askEngine.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, scheduleScheme } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import { ToldDocuments } from '../../host/toldDocuments.ts';

/** Opens a kit's prints one after the other, with resin, hours and top-ups, as a rendered Markdown document. */
export function registerSchedule(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const schedules = disposables.add(
    new ToldDocuments(services, scheduleScheme, async (kit, _name, signal) => {
      return (await services.engine.call('schedule', paramsOf(kit), { signal })).markdown;
    }),
  );
  disposables.add(
    vscode.commands.registerCommand(commandIds.schedule, async (argument: unknown) => {
      const target = targetOrTell(services.kits, argument);
      if (target !== null) await show(services, schedules, target.kit);
    }),
  );
  return disposables;
}

async function show(services: Services, schedules: ToldDocuments, kit: Kit): Promise<void> {
  const told = await askEngine(services, kit, 'Reckoning resin and time', (signal, onProgress) =>
    services.engine.call('schedule', paramsOf(kit), { signal, onProgress }),
  );
  if (told !== undefined) await schedules.show(kit, 'resin and time', told.markdown);
}

const paramsOf = (kit: Kit) => ({ ...kit.source, fromWallMs: nextQuarterMs(new Date()), noCache: false });

const quarterMs = 900_000;

/** The next full quarter of an hour on the wall. */
function nextQuarterMs(now: Date): number {
  const wallMs = now.getTime() - now.getTimezoneOffset() * 60_000;
  return Math.ceil(wallMs / quarterMs) * quarterMs;
}
