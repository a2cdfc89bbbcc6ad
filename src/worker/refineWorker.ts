import { parentPort, workerData } from 'node:worker_threads';
import { refineStage, type UnrefinedSurface } from '../pipeline/refineStage.ts';
import { buffersOf } from './buffersOf.ts';

/** Entry of a thread that refines one surface and ends. */
const { surface, kitDir } = workerData as {
  readonly surface: UnrefinedSurface;
  readonly kitDir: string | null;
};
const set = await refineStage(surface, kitDir);
parentPort!.postMessage(set, buffersOf(set));
