import type * as vscode from 'vscode';
import { askEngine } from '../../host/askEngine.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import { showMarkdown } from '../../host/showMarkdown.ts';
import { ExplainedParts } from './explainedParts.ts';

/** Opens a part's explanation as a rendered Markdown document; asked for again, it is made anew. */
export function registerExplainPart(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const explained = disposables.add(new ExplainedParts(services));
  disposables.add(
    registerPartCommand(services, commandIds.explainPart, 'Explain which part?', (kit, part) =>
      explain(services, explained, kit, part),
    ),
  );
  return disposables;
}

async function explain(services: Services, explained: ExplainedParts, kit: Kit, part: string): Promise<void> {
  const told = await askEngine(services, kit, `Explaining ${part}`, (signal, onProgress) =>
    services.engine.call('explain', { ...kit.source, part, noCache: false }, { signal, onProgress }),
  );
  if (told !== undefined) await showMarkdown(services, explained.put(kit, part, told.markdown));
}
