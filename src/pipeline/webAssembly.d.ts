/** What the pipeline uses of WebAssembly, which neither ES2023 nor Node's types declare. */
declare namespace WebAssembly {
  type Exports = Record<string, unknown>;
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Memory {
    constructor(size: { initial: number });
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
  class Instance {
    constructor(module: Module, imports: { env: { memory: Memory } });
    readonly exports: Exports;
  }
}
