/**
 * What is done to particles four at a time, in the lanes of WebAssembly's vectors of single precision: drawing where they
 * might go (move.ts) and weighing readings against their water (weigh.ts).
 */
import { propose, shake, takeShape } from './move.ts';
import { suppose, weigh } from './weigh.ts';

export { propose, shake, suppose, takeShape, weigh };

/** First byte the caller may use for its tables. */
export function free(): usize {
  return __heap_base;
}
