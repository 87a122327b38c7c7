import { fromBase64 } from './base64.ts';

/** The part of the WebAssembly interface used; the language's own library does not declare it. */
interface WebAssemblyLike {
  Module: new (bytes: Uint8Array<ArrayBuffer>) => object;
  Instance: new (module: object) => { readonly exports: object };
}
declare const WebAssembly: WebAssemblyLike | undefined;

/** Modules compiled so far, by their text; null where there is no WebAssembly, no vectors in it, or the page forbids it. */
const compiled = new Map<string, object | null>();

function moduleOf(text: string): object | null {
  const known = compiled.get(text);
  if (known !== undefined) return known;
  let module: object | null = null;
  try {
    if (typeof WebAssembly !== 'undefined') module = new WebAssembly.Module(fromBase64(text));
  } catch {
    // A machine without vectors: the caller has another way.
  }
  compiled.set(text, module);
  return module;
}

/**
 * What a module in base64 exports, with a memory of its own; null where it cannot be run here, or no more memory is to be
 * had: the caller has another way. Compiled once.
 */
function instanceOf(text: string): object | null {
  const module = moduleOf(text);
  if (!module || typeof WebAssembly === 'undefined') return null;
  try {
    return new WebAssembly.Instance(module).exports;
  } catch {
    return null;
  }
}

/** What every module of ours exports, so that tables can be laid out behind its own. */
interface Kernel {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  free(): number;
}

const pageBytes = 65_536;

/** A kernel with a memory of its own, and tables in it. */
interface Desk<Exports> {
  readonly kernel: Exports;
  /** Addresses of the tables, multiples of sixteen. */
  readonly at: readonly number[];
  readonly buffer: ArrayBuffer;
}

/** Lays out tables of so many bytes each in the memory of a module in base64; null where it cannot be run here. */
export function layOut<Exports>(
  text: string,
  tables: (kernel: Exports) => readonly number[],
): Desk<Exports> | null {
  const kernel = instanceOf(text) as (Kernel & Exports) | null;
  if (!kernel) return null;
  let end = kernel.free();
  const at = tables(kernel).map((bytes) => {
    const place = Math.ceil(end / 16) * 16;
    end = place + bytes;
    return place;
  });
  kernel.memory.grow(Math.max(0, Math.ceil((end - kernel.memory.buffer.byteLength) / pageBytes)));
  return { kernel, at, buffer: kernel.memory.buffer };
}
