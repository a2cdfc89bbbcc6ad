import { fileURLToPath } from 'node:url';
import { openSolid } from '../solid/openSolid.ts';

/** The solid kernel with its WASM file beside the bundle. */
export function solidKernel(): ReturnType<typeof openSolid> {
  return openSolid((file) => fileURLToPath(new URL(`./${file}`, import.meta.url)));
}
