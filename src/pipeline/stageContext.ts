import type { Interrupter } from '../core/interrupter.ts';
import type { Hands } from './hands.ts';
import type { WarmShelf } from './warmShelf.ts';

/** Given to every stage: names the work for the progress line, lets it be cancelled, finds it helpers and what is still warm. */
export interface StageContext {
  stage(name: string): Interrupter;
  readonly hands: Hands;
  readonly warm: WarmShelf;
}
