import { fileURLToPath } from 'node:url';
import { openSolid } from '../solid/openSolid.ts';

let opened = false;

/** Whether this thread holds the kernel's memory, which grows with every use and never shrinks. */
export const solidKernelOpened = (): boolean => opened;

/** The solid kernel with its WASM file beside the bundle. */
export function solidKernel(): ReturnType<typeof openSolid> {
  opened = true;
  return openSolid((file) => fileURLToPath(new URL(`./${file}`, import.meta.url)));
}
