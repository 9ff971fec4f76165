/** What is used here of the standard's interface (W3C WebAssembly JavaScript Interface), which the language's own library leaves to the DOM's. */
declare namespace WebAssembly {
  class Memory {
    constructor(descriptor: { initial: number; maximum?: number });
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Instance {
    constructor(module: Module, imports: Readonly<Record<string, Readonly<Record<string, Memory>>>>);
    readonly exports: Readonly<Record<string, unknown>>;
  }
  function validate(bytes: Uint8Array): boolean;
}
