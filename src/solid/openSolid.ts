import loadModule, { type ManifoldToplevel } from 'manifold-3d';

/** Where `manifold.wasm` lies when it is not beside the module that loads it. */
export type LocateFile = (file: string) => string;

let loading: Promise<ManifoldToplevel> | null = null;

/** Loads the solid kernel, once per process; the first caller's `locateFile` holds. */
export function openSolid(locateFile?: LocateFile): Promise<ManifoldToplevel> {
  loading ??= loadModule(locateFile ? { locateFile: locateFile as () => string } : undefined)
    .then((kernel) => {
      kernel.setup();
      return kernel;
    })
    .catch((error: unknown) => {
      loading = null;
      throw error;
    });
  return loading;
}

/** Forgets a kernel that has failed inside: its memory is no longer to be trusted. */
export function abandonSolid(): void {
  loading = null;
}
