import type * as vscode from 'vscode';
import { askEngine } from '../../host/askEngine.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, explainScheme } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import { ToldDocuments } from '../../host/toldDocuments.ts';

/** Opens a part's explanation as a rendered Markdown document; asked for again, it is made anew. */
export function registerExplainPart(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const explained = disposables.add(
    new ToldDocuments(services, explainScheme, async (kit, part, signal) => {
      const params = { ...kit.source, part, noCache: false };
      return (await services.engine.call('explain', params, { signal })).markdown;
    }),
  );
  disposables.add(
    registerPartCommand(services, commandIds.explainPart, 'Explain which part?', (kit, part) =>
      explain(services, explained, kit, part),
    ),
  );
  return disposables;
}

async function explain(services: Services, explained: ToldDocuments, kit: Kit, part: string): Promise<void> {
  const told = await askEngine(services, kit, `Explaining ${part}`, (signal, onProgress) =>
    services.engine.call('explain', { ...kit.source, part, noCache: false }, { signal, onProgress }),
  );
  if (told !== undefined) await explained.show(kit, part, told.markdown);
}
