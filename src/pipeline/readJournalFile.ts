import type { Result } from '../core/result.ts';
import { readKitText } from './readKitText.ts';

export const journalName = 'journal.yaml';

/** The text of a kit's journal; null where there is none yet. Fails `journal-unreadable`. */
export const readJournalFile = (kitDir: string): Promise<Result<string | null>> =>
  readKitText(kitDir, journalName, 'journal-unreadable', 'Move it away; a new one is begun then.');
