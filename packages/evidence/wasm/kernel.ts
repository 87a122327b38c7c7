/**
 * What is done to particles four at a time, in the lanes of WebAssembly's vectors of single precision: drawing where they
 * might go (move.ts), weighing readings against their water, and trying other readers (weigh.ts).
 */
import { propose, takeShape } from './move.ts';
import { suppose } from './reading.ts';
import { lookAgain, takeRoom, weigh } from './weigh.ts';

export { lookAgain, propose, suppose, takeRoom, takeShape, weigh };

/** First byte the caller may use for its tables. */
export function free(): usize {
  return __heap_base;
}
