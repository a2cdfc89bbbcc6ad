/** Path of a kernel compiled from its source in this folder. */
export function compileKernel(name: string): Promise<string>;
