import type { Result } from '../core/result.ts';
import { readKitText } from './readKitText.ts';

export const ledgerName = 'ledger.yaml';

/** The text of a kit's ledger; null where none was recorded. Fails `ledger-unreadable`. */
export const readLedgerFile = (kitDir: string): Promise<Result<string | null>> =>
  readKitText(kitDir, ledgerName, 'ledger-unreadable', 'Move it away and record again.');
