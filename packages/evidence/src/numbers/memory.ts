import { instanceOf } from '@brinewright/nitrogen';
import { kernelBytes } from './bytes.ts';

/** What every use of wasm/kernel.ts needs of it. */
interface Kernel {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  free(): number;
}

const pageBytes = 65_536;

/** A kernel with a memory of its own, and tables in it. */
export interface Desk<Exports> {
  readonly kernel: Exports;
  /** Addresses of the tables. */
  readonly at: readonly number[];
  readonly buffer: ArrayBuffer;
}

/** Lays out tables of so many bytes each; null where this machine has no vectors. */
export function layOut<Exports>(tables: readonly number[]): Desk<Exports> | null {
  const kernel = instanceOf(kernelBytes) as (Kernel & Exports) | null;
  if (!kernel) return null;
  let end = kernel.free();
  const at = tables.map((bytes) => {
    const place = Math.ceil(end / 16) * 16;
    end = place + bytes;
    return place;
  });
  kernel.memory.grow(Math.max(0, Math.ceil((end - kernel.memory.buffer.byteLength) / pageBytes)));
  return { kernel, at, buffer: kernel.memory.buffer };
}
